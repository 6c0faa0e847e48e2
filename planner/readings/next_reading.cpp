// SPDX-License-Identifier: Apache-2.0
#include "planner/readings/next_reading.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include <Eigen/Cholesky>

namespace mastline {

namespace {

constexpr std::size_t kExplanations = 12, kListed = 3;
constexpr double kLeastBits = 0.05;
constexpr double kConnector = 0.6;  // opening a connector is worth less than a test point
constexpr double kDeadLevel = -45;  // dB below expectation that a dead lane is forecast to read
constexpr int kSteps = 240;         // of the integral over what the meter may show

// One explanation of what was read: no fault, or a part's likeliest fault.
struct Case {
    double p = 0;
    std::optional<std::size_t> possibility;
    double amount = 0;
    ChainPart part;
};

std::vector<Case> cases_of(const ReadingEvidence& evidence, const Beliefs& beliefs) {
    std::vector<Case> out{{1 - beliefs.faulty, {}, 0, {}}};
    for (const auto& part : beliefs.parts) {
        if (out.size() > kExplanations) break;
        for (const auto& fault : part.faults)
            if (fault.sure >= part.sure / 4 && fault.sure > 1e-4)
                out.push_back({fault.sure, fault.possibility, evidence.amounts({fault.possibility})[0], part.part});
    }
    double sum = 0;
    for (const auto& c : out) sum += c.p;
    for (auto& c : out) c.p /= sum;
    return out;
}

double normal(double x, double mean, double deviation) {
    const double d = (x - mean) / deviation;
    return std::exp(-0.5 * d * d) / (deviation * std::sqrt(2 * std::acos(-1.0)));
}

// Information in bits that a reading gives of which case holds: the entropy of what the meter may
// show less that of its error, C. E. Shannon 1948.
double information(const std::vector<Case>& cases, const std::vector<double>& means, double deviation) {
    const auto [low, high] = std::minmax_element(means.begin(), means.end());
    const double from = *low - 5 * deviation, to = *high + 5 * deviation;
    const double step = std::min((to - from) / kSteps, deviation / 4);
    double entropy = 0;
    for (double x = from + step / 2; x < to; x += step) {
        double density = 0;
        for (std::size_t c = 0; c < cases.size(); ++c) density += cases[c].p * normal(x, means[c], deviation);
        if (density > 1e-12) entropy -= density * std::log2(density) * step;
    }
    const double noise = 0.5 * std::log2(2 * std::acos(-1.0) * std::exp(1.0) * deviation * deviation);
    return std::max(0.0, entropy - noise);
}

class Chooser {
public:
    Chooser(const ChainPoints& chain, const Signatures& signatures, const ReadingEvidence& evidence,
            const Beliefs& beliefs, const ReadSoFar& read)
        : chain_(chain), signatures_(signatures), evidence_(evidence),
          read_(read), cases_(cases_of(evidence, beliefs)) {}

    std::vector<NextReading> choose() {
        find_points();
        if (cases_.size() < 2 || points_.empty()) return {};
        forecast();
        std::vector<NextReading> all;
        for (std::size_t i = 0; i < points_.size(); ++i) add(all, i);
        std::stable_sort(all.begin(), all.end(), [](const NextReading& a, const NextReading& b) {
            return a.bits * (a.marked ? 1 : kConnector) > b.bits * (b.marked ? 1 : kConnector);
        });
        std::vector<NextReading> out;
        std::set<std::pair<PortRef, LaneNumber>> ports;  // one frequency of a port is enough
        for (auto& next : all)
            if (out.size() < kListed && ports.emplace(next.point.port, next.point.lane).second)
                out.push_back(std::move(next));
        return out;
    }

private:
    // Points not read yet at which some explanation differs from another.
    void find_points() {
        std::set<MeterPoint> known;
        for (const auto& s : read_.sightings)
            if (s.occasion == 0) known.insert(s.point->point);
        for (const auto& candidate : chain_.candidates()) {
            if (known.contains(candidate)) continue;
            const auto point = chain_.at(candidate);
            if (point && differs(*point)) points_.push_back(*point);
        }
    }

    bool differs(const ChainPoint& point) const {
        std::set<long> seen;
        for (const auto& c : cases_) seen.insert(std::lround(own_change(c, point) * 2));
        return seen.size() > 1;
    }

    double own_change(const Case& c, const ChainPoint& point) const {
        if (!c.possibility) return 0;
        const auto effect = signatures_.effect(*c.possibility, point);
        return effect.dead > 0.5 ? kDeadLevel : c.amount * effect.change;
    }

    // Mean and deviation of the change at each point under each case, given what has been read.
    void forecast() {
        auto sightings = read_.sightings;
        for (const auto& point : points_) sightings.push_back({&point, 0, sightings.front().instrument, 1});
        const auto spread = covariance(chain_, sightings, read_.meter);
        const double share = evidence_.tolerance_share();
        const Eigen::MatrixXd all = spread.always + share * share * spread.parts;
        const auto& alive = evidence_.alive();
        std::vector<std::size_t> fresh;
        for (std::size_t i = read_.sightings.size(); i < sightings.size(); ++i) fresh.push_back(i);
        const Eigen::MatrixXd known = all(alive, alive), cross = all(alive, fresh);
        const Eigen::LLT<Eigen::MatrixXd> root(known);
        const Eigen::MatrixXd weights = root.solve(cross);
        means_.resize(static_cast<Eigen::Index>(points_.size()), static_cast<Eigen::Index>(cases_.size()));
        deviations_.resize(static_cast<Eigen::Index>(points_.size()));
        for (std::size_t c = 0; c < cases_.size(); ++c) {
            Eigen::VectorXd rest(known.rows());
            for (std::size_t i = 0; i < alive.size(); ++i) {
                const auto& s = read_.sightings[alive[i]];
                const double known_change = read_.departures.change[alive[i]];
                rest(static_cast<Eigen::Index>(i)) =
                    known_change - (s.occasion == 0 ? living_change(cases_[c], *s.point) : 0);
            }
            const Eigen::VectorXd shift = weights.transpose() * rest;
            for (std::size_t i = 0; i < points_.size(); ++i)
                means_(static_cast<Eigen::Index>(i), static_cast<Eigen::Index>(c)) =
                    own_change(cases_[c], points_[i]) + shift(static_cast<Eigen::Index>(i));
        }
        for (std::size_t i = 0; i < points_.size(); ++i) {
            const auto at = static_cast<Eigen::Index>(i);
            const auto row = static_cast<Eigen::Index>(fresh[i]);
            deviations_(at) = std::sqrt(std::max(all(row, row) - cross.col(at).dot(weights.col(at)), 0.01));
        }
    }

    double living_change(const Case& c, const ChainPoint& point) const {
        return c.possibility ? c.amount * signatures_.effect(*c.possibility, point).change : 0;
    }

    void add(std::vector<NextReading>& out, std::size_t i) const {
        const auto at = static_cast<Eigen::Index>(i);
        std::vector<double> means;
        for (std::size_t c = 0; c < cases_.size(); ++c) means.push_back(means_(at, static_cast<Eigen::Index>(c)));
        NextReading next;
        next.bits = information(cases_, means, deviations_(at));
        if (next.bits < kLeastBits) return;
        next.point = points_[i].point;
        const auto& port = chain_.chain().ports()[chain_.chain().visits()[points_[i].visit].port];
        next.marked = port.port.test_point;
        next.otherwise = Level::dbm(points_[i].expected + means[0]);
        std::set<ChainPart> told;
        for (std::size_t c = 1; c < cases_.size(); ++c)
            if (told.insert(cases_[c].part).second)
                next.forecasts.emplace_back(cases_[c].part, Level::dbm(points_[i].expected + means[c]));
        out.push_back(std::move(next));
    }

    const ChainPoints& chain_;
    const Signatures& signatures_;
    const ReadingEvidence& evidence_;
    const ReadSoFar& read_;
    std::vector<Case> cases_;
    std::vector<ChainPoint> points_;
    Eigen::MatrixXd means_;
    Eigen::VectorXd deviations_;
};

}  // namespace

std::vector<NextReading> next_readings(const ChainPoints& chain, const Signatures& signatures,
                                       const ReadingEvidence& evidence,
                                       const Beliefs& beliefs, const ReadSoFar& read) {
    return Chooser(chain, signatures, evidence, beliefs, read).choose();
}

}  // namespace mastline
