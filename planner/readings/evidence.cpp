// SPDX-License-Identifier: Apache-2.0
#include "planner/readings/evidence.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <map>
#include <tuple>

#include <Eigen/Cholesky>

namespace mastline {

namespace {

// Chances before anything is read.
constexpr double kNoFault = 0.5, kOneFault = 0.45, kTwoFaults = 0.05;
constexpr double kDeadByItself = 1e-6;  // a row without signal that no fault explains
// Parts may use none, some or all of their tolerances.
constexpr std::array<std::pair<double, double>, 3> kShares{{{0.1, 0.3}, {0.4, 0.3}, {1, 0.4}}};
constexpr std::size_t kFirstOfPair = 24;  // how many single faults are tried with every other
constexpr double kNegligible = 10;  // logarithm of the odds against the best
constexpr double kLeastFixed = 2;   // dB that a fault without an amount of its own must change somewhere
constexpr double kNever = -1e9;
constexpr Eigen::Index kColumns = 256;  // solved between two words of progress

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

ReadingEvidence::ReadingEvidence(const Suspicions& suspicions, const std::vector<Effects>& effects,
                   const Departures& departures, const Covariance& covariance, const std::function<void(double)>& sink)
    : suspicions_(suspicions), dead_(departures.dead) {
    double total = 0;
    const auto weight = [&](const Possibility& p) { return p.weight * suspicions.suspects[p.suspect].weight; };
    for (const auto& p : suspicions.possibilities) total += weight(p);
    for (const auto& p : suspicions.possibilities) log_prior_.push_back(std::log(weight(p) / total));
    for (std::size_t row = 0; row < dead_.size(); ++row) {
        if (dead_[row] == 0) alive_.push_back(row);
        else log_dead_unexplained_ += std::log(kDeadByItself);
    }
    reckon(covariance, departures, group(effects), sink);
    weigh();
}

// Groups what is alike and gives the signatures, a column each; the first column is zero.
Eigen::MatrixXd ReadingEvidence::group(const std::vector<Effects>& effects) {
    std::vector<Eigen::Index> place(dead_.size(), -1);
    for (std::size_t i = 0; i < alive_.size(); ++i) place[alive_[i]] = static_cast<Eigen::Index>(i);
    using Signature = std::vector<std::pair<Eigen::Index, double>>;
    std::map<Signature, Eigen::Index> columns{{{}, 0}};
    using Key = std::tuple<Eigen::Index, double, double, std::vector<std::pair<std::size_t, double>>>;
    std::map<Key, std::size_t> groups;
    for (std::size_t h = 0; h < effects.size(); ++h) {
        const auto& p = suspicions_.possibilities[h];
        Signature signature;
        std::vector<std::pair<std::size_t, double>> dead;
        bool shown = false;
        for (const auto& [row, effect] : effects[h]) {
            if (effect.dead > 0) dead.emplace_back(row, effect.dead);
            if (effect.change != 0 && place[row] >= 0) signature.emplace_back(place[row], effect.change);
            const double least = p.least < p.most ? 0.05 : kLeastFixed / std::max(std::abs(p.most), 1e-9);
            shown = shown || effect.dead > 0.5 || std::abs(effect.change) >= least;
        }
        alike_of_.push_back(std::numeric_limits<std::size_t>::max());
        if (!shown) continue;
        const auto next = static_cast<Eigen::Index>(columns.size());
        const auto column = columns.emplace(std::move(signature), next).first->second;
        const auto [it, fresh] = groups.emplace(Key{column, p.least, p.most, dead}, alike_.size());
        if (fresh) alike_.push_back({column, p.least, p.most, std::move(dead), {}, kNever, 0});
        auto& alike = alike_[it->second];
        alike.members.push_back(h);
        alike.log_prior = log_sum({alike.log_prior, log_prior_[h]});
        alike_of_.back() = it->second;
    }
    Eigen::MatrixXd g = Eigen::MatrixXd::Zero(static_cast<Eigen::Index>(alive_.size()),
                                              static_cast<Eigen::Index>(columns.size()));
    for (const auto& [signature, column] : columns)
        for (const auto& [row, change] : signature) g(row, column) = change;
    return g;
}

// Nearly all of the time goes into the roots and the solutions, a third of a product per row and a product per column.
void ReadingEvidence::reckon(const Covariance& covariance, const Departures& departures, const Eigen::MatrixXd& g,
                             const std::function<void(double)>& sink) {
    const double root_work = static_cast<double>(g.rows()) / 3, share_work = root_work + static_cast<double>(g.cols());
    const auto tell = [&](double work) {
        if (sink) sink((static_cast<double>(shares_.size()) + work / share_work) / kShares.size());
    };
    const Eigen::MatrixXd always = covariance.always(alive_, alive_), parts = covariance.parts(alive_, alive_);
    Eigen::VectorXd y(static_cast<Eigen::Index>(alive_.size()));
    for (std::size_t i = 0; i < alive_.size(); ++i) y(static_cast<Eigen::Index>(i)) = departures.change[alive_[i]];
    for (const auto& [share, prior] : kShares) {
        Share s;
        s.share = share, s.log_prior = std::log(prior);
        const Eigen::LLT<Eigen::MatrixXd> root(always + share * share * parts);
        const Eigen::VectorXd z = root.matrixL().solve(y);
        tell(root_work);
        s.w = g;
        for (Eigen::Index from = 0; from < g.cols(); from += kColumns) {
            auto some = s.w.middleCols(from, std::min(kColumns, g.cols() - from));
            root.matrixL().solveInPlace(some);
            tell(root_work + static_cast<double>(from + some.cols()));
        }
        s.a = s.w.colwise().squaredNorm();
        s.b = s.w.transpose() * z;
        s.log_likelihood = -0.5 * z.squaredNorm() - root.matrixLLT().diagonal().array().log().sum();
        shares_.push_back(std::move(s));
    }
}

double ReadingEvidence::log_dead(const std::vector<const Alike*>& faults) const {
    const auto term = [&](std::size_t row, double p) { return std::log(dead_[row] != 0 ? p : 1 - p); };
    double out = log_dead_unexplained_;
    std::vector<std::pair<std::size_t, double>> likely;  // rows of all faults, the likelier last
    for (const auto* fault : faults) likely.insert(likely.end(), fault->dead.begin(), fault->dead.end());
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
double ReadingEvidence::log_gain(const Share& s, const std::vector<const Alike*>& faults) const {
    double out = 0;
    std::vector<const Alike*> open, fixed;
    for (const auto* fault : faults)
        if (s.a(fault->column) > 1e-9) (fault->fixed() ? fixed : open).push_back(fault);
    const auto cross = [&](const Alike* x, const Alike* y) { return s.w.col(x->column).dot(s.w.col(y->column)); };
    for (const auto* f : fixed) out += f->most * s.b(f->column) - 0.5 * f->most * f->most * s.a(f->column);
    if (fixed.size() == 2) out -= fixed[0]->most * fixed[1]->most * cross(fixed[0], fixed[1]);
    if (open.empty()) return out;
    const auto left = [&](const Alike* x) {  // what the fixed ones leave to be explained
        double b = s.b(x->column);
        for (const auto* f : fixed) b -= f->most * cross(x, f);
        return b;
    };
    const auto range = [](const Alike* x, double mean, double deviation) {
        return log_between((x->least - mean) / deviation, (x->most - mean) / deviation) -
               std::log(x->most - x->least);
    };
    const double half_log_two_pi = 0.5 * std::log(2 * std::acos(-1.0));
    const double a0 = s.a(open[0]->column), b0 = left(open[0]);
    if (open.size() == 1)
        return out + b0 * b0 / (2 * a0) + half_log_two_pi - 0.5 * std::log(a0) +
               range(open[0], b0 / a0, 1 / std::sqrt(a0));
    const double a1 = s.a(open[1]->column), b1 = left(open[1]), c = cross(open[0], open[1]);
    const double det = a0 * a1 - c * c;
    if (det < 1e-4 * a0 * a1) return kNever;  // one and the same to the meter
    const double m0 = (a1 * b0 - c * b1) / det, m1 = (a0 * b1 - c * b0) / det;
    return out + 0.5 * (m0 * b0 + m1 * b1) + 2 * half_log_two_pi - 0.5 * std::log(det) +
           range(open[0], m0, std::sqrt(a1 / det)) + range(open[1], m1, std::sqrt(a0 / det));
}

double ReadingEvidence::log_likelihood(const std::vector<const Alike*>& faults) const {
    std::vector<double> terms;
    for (const auto& share : shares_)
        terms.push_back(share.log_prior + share.log_likelihood + log_gain(share, faults));
    return log_sum(terms) + log_dead(faults);
}

void ReadingEvidence::weigh() {
    scenarios_.push_back({{}, std::log(kNoFault) + log_likelihood({})});
    for (auto& alike : alike_) {
        alike.log_likelihood = log_likelihood({&alike});
        for (const auto h : alike.members)
            scenarios_.push_back({{h}, std::log(kOneFault) + log_prior_[h] + alike.log_likelihood});
    }
    add_pairs();
    find_best_share();
}

// The likely single faults, each with every other.
void ReadingEvidence::add_pairs() {
    std::vector<const Alike*> first;
    for (const auto& alike : alike_) first.push_back(&alike);
    const auto count = std::min(kFirstOfPair, first.size());
    std::partial_sort(first.begin(), first.begin() + static_cast<std::ptrdiff_t>(count), first.end(),
                      [](const Alike* x, const Alike* y) {
                          return x->log_likelihood + x->log_prior > y->log_likelihood + y->log_prior;
                      });
    first.resize(count);
    double best = kNever;
    for (const auto& s : scenarios_) best = std::max(best, s.log_weight);
    std::vector<char> tried(alike_.size(), 0);
    for (const auto* x : first) {
        tried[static_cast<std::size_t>(x - alike_.data())] = 1;
        std::vector<Eigen::VectorXd> crosses;  // with every column, per share
        for (const auto& s : shares_) crosses.push_back(s.w.transpose() * s.w.col(x->column));
        for (const auto& y : alike_) {
            if (tried[static_cast<std::size_t>(&y - alike_.data())] != 0) continue;
            const double prior = std::log(2 * kTwoFaults) + x->log_prior + y.log_prior;
            if (prior + bound(*x, y, crosses) < best - kNegligible) continue;
            const double both = std::log(2 * kTwoFaults) + log_likelihood({x, &y});
            if (both + x->log_prior + y.log_prior < best - kNegligible) continue;
            for (const auto h : x->members)
                for (const auto k : y.members) {
                    const auto &p = suspicions_.possibilities[h], &q = suspicions_.possibilities[k];
                    if (suspicions_.suspects[p.suspect].part == suspicions_.suspects[q.suspect].part) continue;
                    scenarios_.push_back({{h, k}, both + log_prior_[h] + log_prior_[k]});
                    best = std::max(best, scenarios_.back().log_weight);
                }
        }
    }
}

// No less than the logarithm of the likelihood of two faults: both amounts free of their ranges.
double ReadingEvidence::bound(const Alike& x, const Alike& y, const std::vector<Eigen::VectorXd>& crosses) const {
    double most = kNever;
    for (std::size_t i = 0; i < shares_.size(); ++i) {
        const auto& s = shares_[i];
        const double a0 = s.a(x.column), a1 = s.a(y.column), c = crosses[i](y.column);
        const double b0 = s.b(x.column), b1 = s.b(y.column), det = a0 * a1 - c * c;
        double gain = a0 > 1e-9 ? b0 * b0 / (2 * a0) : 0;
        if (a1 > 1e-9) {
            const double rest = a0 > 1e-9 ? std::max(det / a0, 1e-4 * a1) : a1;
            const double left = a0 > 1e-9 ? b1 - c * b0 / a0 : b1;
            gain += left * left / (2 * rest);
            if (!y.fixed()) gain += 0.92 - 0.5 * std::log(rest) - std::log(y.most - y.least);
        }
        if (a0 > 1e-9 && !x.fixed()) gain += 0.92 - 0.5 * std::log(a0) - std::log(x.most - x.least);
        most = std::max(most, s.log_prior + s.log_likelihood + gain);
    }
    const bool silent = alive_.size() < dead_.size() && (!x.dead.empty() || !y.dead.empty());
    return most + std::log(static_cast<double>(shares_.size())) +
           (silent ? log_dead({&x, &y}) : log_dead_unexplained_);
}

void ReadingEvidence::find_best_share() {
    const auto best = std::max_element(scenarios_.begin(), scenarios_.end(), [](const auto& x, const auto& y) {
        return x.log_weight < y.log_weight;
    });
    std::vector<const Alike*> faults;
    for (const auto h : best->faults) faults.push_back(&alike_[alike_of_[h]]);
    double most = kNever;
    for (std::size_t i = 0; i < shares_.size(); ++i) {
        const double l = shares_[i].log_prior + shares_[i].log_likelihood + log_gain(shares_[i], faults);
        if (l > most) most = l, best_share_ = i;
    }
}

std::vector<double> ReadingEvidence::amounts(const std::vector<std::size_t>& faults) const {
    const auto& s = shares_[best_share_];
    std::vector<double> out(faults.size(), 0);
    std::vector<const Alike*> groups;
    for (const auto h : faults) groups.push_back(&alike_[alike_of_[h]]);
    for (int round = 0; round < 50; ++round)  // of two, each settles with the other held
        for (std::size_t k = 0; k < faults.size(); ++k) {
            const double a = s.a(groups[k]->column);
            if (a < 1e-9) continue;
            double b = s.b(groups[k]->column);
            for (std::size_t j = 0; j < faults.size(); ++j)
                if (j != k) b -= out[j] * s.w.col(groups[k]->column).dot(s.w.col(groups[j]->column));
            out[k] = std::clamp(b / a, groups[k]->least, groups[k]->most);
        }
    return out;
}

}  // namespace mastline
