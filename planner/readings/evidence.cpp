// SPDX-License-Identifier: Apache-2.0
#include "planner/readings/evidence.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include <Eigen/Cholesky>

namespace mastline {

namespace {

// Chances before anything is read.
constexpr double kNoFault = 0.5, kOneFault = 0.45, kTwoFaults = 0.05;
constexpr double kDeadByItself = 1e-6;  // a row without signal that no fault explains
// Parts may use none, some or all of their tolerances.
constexpr std::array<std::pair<double, double>, 3> kShares{{{0.1, 0.3}, {0.4, 0.3}, {1, 0.4}}};
constexpr std::size_t kFirstOfPair = 40;  // how many single faults are tried with every other
constexpr double kNever = -1e9;

double log_sum(const std::vector<double>& terms) {
    const double most = *std::max_element(terms.begin(), terms.end());
    if (most <= kNever) return kNever;
    double sum = 0;
    for (const double t : terms) sum += std::exp(t - most);
    return most + std::log(sum);
}

// Logarithm of the chance that a standard normal variable lies between a and b.
double log_between(double a, double b) {
    if (a > 0) return log_between(-b, -a);  // the tail is exact on the left
    const double root = std::sqrt(2.0);
    const double p = 0.5 * (std::erfc(-b / root) - std::erfc(-a / root));
    return p > 1e-290 ? std::log(p) : kNever;
}

}  // namespace

Evidence::Evidence(const Suspicions& suspicions, const std::vector<std::vector<Effect>>& effects,
                   const Departures& departures, const Covariance& covariance)
    : suspicions_(suspicions), cover_(effects.size()), dead_(departures.dead) {
    double total = 0;
    for (const auto& p : suspicions.possibilities) total += p.weight * suspicions.suspects[p.suspect].weight;
    for (const auto& p : suspicions.possibilities)
        log_prior_.push_back(std::log(p.weight * suspicions.suspects[p.suspect].weight / total));
    for (std::size_t row = 0; row < dead_.size(); ++row) {
        if (dead_[row] == 0) alive_.push_back(row);
        else log_dead_unexplained_ += std::log(kDeadByItself);
    }
    for (std::size_t h = 0; h < effects.size(); ++h) {
        bool shown = false;
        for (std::size_t row = 0; row < dead_.size(); ++row) {
            const auto& effect = effects[h][row];
            if (effect.dead > 0) cover_[h].emplace_back(row, effect.dead);
            shown = shown || effect.dead > 0.5 || std::abs(effect.change) > 0.05;
        }
        if (shown) shown_.push_back(h);
    }
    reckon(covariance, departures, effects);
    weigh();
}

void Evidence::reckon(const Covariance& covariance, const Departures& departures,
                      const std::vector<std::vector<Effect>>& effects) {
    const auto n = static_cast<Eigen::Index>(alive_.size());
    const auto pick = [&](const Eigen::MatrixXd& m) { return Eigen::MatrixXd(m(alive_, alive_)); };
    const Eigen::MatrixXd always = pick(covariance.always), parts = pick(covariance.parts);
    Eigen::VectorXd y(n);
    Eigen::MatrixXd g(n, static_cast<Eigen::Index>(effects.size()));
    for (Eigen::Index i = 0; i < n; ++i) {
        const auto row = alive_[static_cast<std::size_t>(i)];
        y(i) = departures.change[row];
        for (std::size_t h = 0; h < effects.size(); ++h)
            g(i, static_cast<Eigen::Index>(h)) = effects[h][row].change;
    }
    for (const auto& [share, prior] : kShares) {
        Share s;
        s.share = share, s.log_prior = std::log(prior);
        const Eigen::LLT<Eigen::MatrixXd> root(always + share * share * parts);
        s.z = root.matrixL().solve(y);
        s.w = root.matrixL().solve(g);
        s.a = s.w.colwise().squaredNorm();
        s.b = s.w.transpose() * s.z;
        const Eigen::MatrixXd& l = root.matrixLLT();
        s.log_likelihood = -0.5 * s.z.squaredNorm() - l.diagonal().array().log().sum();
        shares_.push_back(std::move(s));
    }
}

double Evidence::log_dead(const std::vector<std::size_t>& faults) const {
    const auto term = [&](std::size_t row, double p) { return std::log(dead_[row] != 0 ? p : 1 - p); };
    double out = log_dead_unexplained_;
    std::vector<std::pair<std::size_t, double>> likely;  // rows of all faults, the likelier last
    for (const auto h : faults) likely.insert(likely.end(), cover_[h].begin(), cover_[h].end());
    if (faults.size() > 1) std::sort(likely.begin(), likely.end());
    for (std::size_t i = 0; i < likely.size(); ++i) {
        const auto& [row, p] = likely[i];
        if (i + 1 < likely.size() && likely[i + 1].first == row) continue;
        out += term(row, p) - term(row, kDeadByItself);
    }
    return out;
}

// Logarithm of the likelihood with the faults over that without: the amounts are integrated over
// their ranges (two of them one after the other, each within its range by its own spread).
double Evidence::log_gain(const Share& s, const std::vector<std::size_t>& faults) const {
    double out = 0;
    std::vector<Eigen::Index> open;
    std::vector<double> shift;  // of b of the open ones by the fixed
    std::vector<Eigen::Index> fixed;
    for (const auto h : faults) {
        const auto& p = suspicions_.possibilities[h];
        const auto i = static_cast<Eigen::Index>(h);
        if (s.a(i) < 1e-9) continue;  // shows in no living row
        (p.least < p.most ? open : fixed).push_back(i);
    }
    const auto amount = [&](Eigen::Index i) { return suspicions_.possibilities[static_cast<std::size_t>(i)].most; };
    const auto cross = [&](Eigen::Index i, Eigen::Index j) { return s.w.col(i).dot(s.w.col(j)); };
    for (const auto i : fixed) out += amount(i) * s.b(i) - 0.5 * amount(i) * amount(i) * s.a(i);
    if (fixed.size() == 2) out -= amount(fixed[0]) * amount(fixed[1]) * cross(fixed[0], fixed[1]);
    if (open.empty()) return out;
    Eigen::Vector2d b = Eigen::Vector2d::Zero();
    for (std::size_t k = 0; k < open.size(); ++k) {
        b(static_cast<Eigen::Index>(k)) = s.b(open[k]);
        for (const auto j : fixed) b(static_cast<Eigen::Index>(k)) -= amount(j) * cross(open[k], j);
    }
    const auto range = [&](std::size_t k, double mean, double deviation) {
        const auto& p = suspicions_.possibilities[static_cast<std::size_t>(open[k])];
        return log_between((p.least - mean) / deviation, (p.most - mean) / deviation) -
               std::log(p.most - p.least);
    };
    const double half_log_two_pi = 0.5 * std::log(2 * std::acos(-1.0));
    if (open.size() == 1) {
        const double a = s.a(open[0]);
        return out + b(0) * b(0) / (2 * a) + half_log_two_pi - 0.5 * std::log(a) +
               range(0, b(0) / a, 1 / std::sqrt(a));
    }
    const double a0 = s.a(open[0]), a1 = s.a(open[1]), c = cross(open[0], open[1]);
    const double det = a0 * a1 - c * c;
    if (det < 1e-4 * a0 * a1) return kNever;  // one and the same to the meter
    const double m0 = (a1 * b(0) - c * b(1)) / det, m1 = (a0 * b(1) - c * b(0)) / det;
    return out + 0.5 * (m0 * b(0) + m1 * b(1)) + 2 * half_log_two_pi - 0.5 * std::log(det) +
           range(0, m0, std::sqrt(a1 / det)) + range(1, m1, std::sqrt(a0 / det));
}

double Evidence::log_likelihood(const std::vector<std::size_t>& faults) const {
    std::vector<double> terms;
    for (const auto& share : shares_)
        terms.push_back(share.log_prior + share.log_likelihood + log_gain(share, faults));
    return log_sum(terms) + log_dead(faults);
}

void Evidence::weigh() {
    scenarios_.push_back({{}, std::log(kNoFault) + log_likelihood({})});
    for (const auto h : shown_)
        scenarios_.push_back({{h}, std::log(kOneFault) + log_prior_[h] + log_likelihood({h})});
    add_pairs();
    const auto best = std::max_element(scenarios_.begin(), scenarios_.end(), [](const auto& x, const auto& y) {
        return x.log_weight < y.log_weight;
    });
    double most = kNever;
    for (std::size_t i = 0; i < shares_.size(); ++i) {
        const double l = shares_[i].log_prior + shares_[i].log_likelihood + log_gain(shares_[i], best->faults);
        if (l > most) most = l, best_share_ = i;
    }
}

void Evidence::add_pairs() {
    std::vector<Scenario> first(scenarios_.begin() + 1, scenarios_.end());
    const auto count = std::min(kFirstOfPair, first.size());
    std::partial_sort(first.begin(), first.begin() + static_cast<std::ptrdiff_t>(count), first.end(),
                      [](const auto& x, const auto& y) { return x.log_weight > y.log_weight; });
    first.resize(count);
    std::vector<char> tried(suspicions_.possibilities.size(), 0);
    for (const auto& scenario : first) {
        const auto h = scenario.faults[0];
        tried[h] = 1;
        for (const auto k : shown_) {
            if (tried[k] != 0) continue;
            const auto &p = suspicions_.possibilities[h], &q = suspicions_.possibilities[k];
            if (suspicions_.suspects[p.suspect].part == suspicions_.suspects[q.suspect].part) continue;
            // Two pairs of a part in either order: twice the product of the chances.
            scenarios_.push_back({{h, k}, std::log(2 * kTwoFaults) + log_prior_[h] + log_prior_[k] +
                                              log_likelihood({h, k})});
        }
    }
}

std::vector<double> Evidence::amounts(const std::vector<std::size_t>& faults) const {
    const auto& s = shares_[best_share_];
    std::vector<double> out(faults.size(), 0);
    for (int round = 0; round < 50; ++round)  // of two, each settles with the other held
        for (std::size_t k = 0; k < faults.size(); ++k) {
            const auto i = static_cast<Eigen::Index>(faults[k]);
            const auto& p = suspicions_.possibilities[faults[k]];
            if (s.a(i) < 1e-9) continue;
            double b = s.b(i);
            for (std::size_t j = 0; j < faults.size(); ++j)
                if (j != k) b -= out[j] * s.w.col(i).dot(s.w.col(static_cast<Eigen::Index>(faults[j])));
            out[k] = std::clamp(b / s.a(i), p.least, p.most);
        }
    return out;
}

}  // namespace mastline
