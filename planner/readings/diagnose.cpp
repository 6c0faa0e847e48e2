// SPDX-License-Identifier: Apache-2.0
#include "mastline/readings/diagnosis.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "planner/readings/next_reading.hpp"
#include "planner/readings/sections.hpp"
#include "planner/readings/verdicts.hpp"

namespace mastline {

namespace {

constexpr double kDeadBelow = -22;     // dB below expectation: no signal to speak of
constexpr double kAccuse = 0.5, kSuspect = 0.3;
constexpr double kWorthListing = 1e-4;
constexpr double kUnexplained = 4;     // standard deviations

std::vector<Frequency> frequencies_of(const Venue& venue, const std::vector<PointReading>& readings,
                                      const std::vector<PointReading>& baseline) {
    std::set<Frequency> out;
    for (const auto* list : {&readings, &baseline})
        for (const auto& reading : *list)
            if (reading.point.frequency) out.insert(*reading.point.frequency);
    for (const auto& feed : venue.feeds)
        for (const auto& lane : feed.lanes) {
            const auto [low, high] = outermost(venue, feed, lane);
            out.insert({lane.band.low, lane.band.high, low, high});
        }
    for (const auto& device : venue.devices)
        if (device.data.held_at) out.insert(*device.data.held_at);
    return {out.begin(), out.end()};
}

class Diagnoser {
public:
    Diagnoser(const Venue& venue, const SignalPlan& plan, const std::vector<PointReading>& readings,
              const std::vector<PointReading>& baseline, const Meter& meter)
        : chain_(venue, plan.choices, frequencies_of(venue, readings, baseline)), meter_(meter) {
        for (const auto& reading : readings) take(reading, 0);
        for (const auto& reading : baseline)
            if (reading.level) take(reading, 1);
        for (const auto& s : readings_)
            if (s.second == 0) now_.push_back(points_[now_.size()]);
        suspicions_ = suspicions_of(chain_, plan.power, Gain::db(baseline.empty() ? 2 : 1));
    }

    Diagnosis diagnose(const DiagnosisSink& sink) {
        const Signatures signatures(chain_, suspicions_, now_);
        Diagnosis out;
        out.unseen = unseen_parts(suspicions_, signatures);
        if (now_.empty()) return out;
        const auto effects = effects_of(signatures);
        const auto spread = covariance(chain_, sightings(), meter_);
        const ReadingEvidence evidence(suspicions_, effects, departures_, spread, sink);
        const auto beliefs = beliefs_of(suspicions_, evidence.scenarios());
        out.faulty = {beliefs.faulty};
        out.verdict = beliefs.faulty >= kAccuse    ? ReadingsVerdict::fault
                      : beliefs.faulty >= kSuspect ? ReadingsVerdict::suspicion
                                                   : ReadingsVerdict::good;
        const bool named = out.verdict != ReadingsVerdict::good;
        const auto best = named ? beliefs.best : std::vector<std::size_t>{};
        judge_points(out, evidence, effects, spread, best);
        if (!named) return out;
        name_faults(out, signatures, evidence, beliefs);
        list_explanations(out, evidence, beliefs);
        out.next = next_readings(chain_, signatures, evidence, beliefs,
                                 {points_, sightings(), departures_, meter_});
        return out;
    }

private:
    void take(const PointReading& reading, int occasion) {
        const auto point = chain_.at(reading.point);
        if (!point) return;
        points_.push_back(*point);
        readings_.emplace_back(reading, occasion);
        const double change = reading.level ? reading.level->dbm() - point->expected : 0;
        const bool dead = !reading.level || (occasion == 0 && change < kDeadBelow);
        departures_.change.push_back(dead ? 0 : change);
        departures_.dead.push_back(dead ? 1 : 0);
    }

    std::vector<Sighting> sightings() const {
        std::vector<Sighting> out;
        for (std::size_t i = 0; i < points_.size(); ++i)
            out.push_back({&points_[i], readings_[i].second, readings_[i].first.instrument,
                           readings_[i].first.count});
        return out;
    }

    std::vector<Effects> effects_of(const Signatures& signatures) const {
        std::vector<Effects> out;
        for (std::size_t h = 0; h < suspicions_.possibilities.size(); ++h)
            out.push_back(signatures.effects(h));
        return out;
    }

    PartFault fault_of(std::size_t possibility, double amount) const {
        const auto& p = suspicions_.possibilities[possibility];
        const auto& s = suspicions_.suspects[p.suspect];
        PartFault out{s.part, s.port == "supply" ? "" : s.port, s.lanes, p.kind, Gain::db(amount), p.light};
        if (p.kind == PartFaultKind::crossed) out.comes_instead = p.order;
        return out;
    }

    PartFault likeliest(const ReadingEvidence& evidence, std::size_t possibility) const {
        return fault_of(possibility, evidence.amounts({possibility})[0]);
    }

    void name_faults(Diagnosis& out, const Signatures& signatures, const ReadingEvidence& evidence,
                     const Beliefs& beliefs) const {
        const auto amounts = evidence.amounts(beliefs.best);
        for (std::size_t k = 0; k < beliefs.best.size(); ++k) {
            const auto h = beliefs.best[k];
            NamedFault named;
            named.fault = fault_of(h, amounts[k]);
            named.section = section_of(suspicions_, signatures, chain_, h);
            for (const auto& part : beliefs.parts)
                if (std::find(named.section.begin(), named.section.end(), part.part) != named.section.end())
                    named.sure.value += part.sure;
            named.sure.value = std::min(named.sure.value, 1.0);
            auto departure = departure_of(signatures, chain_, suspicions_.possibilities[h].suspect);
            named.right_until = std::move(departure.right_until);
            named.departs_at = std::move(departure.departs_at);
            out.faults.push_back(std::move(named));
        }
    }

    void list_explanations(Diagnosis& out, const ReadingEvidence& evidence, const Beliefs& beliefs) const {
        std::set<ChainPart> sections;
        for (const auto& named : out.faults) sections.insert(named.section.begin(), named.section.end());
        for (const auto& belief : beliefs.parts) {
            if (belief.sure < kWorthListing && !sections.contains(belief.part)) continue;
            FaultExplanation explanation{belief.part, {std::min(belief.sure, 1.0)}, {}};
            for (const auto& fault : belief.faults)
                if (fault.sure >= std::max(belief.sure / 100, 1e-6) || explanation.faults.empty())
                    explanation.faults.emplace_back(likeliest(evidence, fault.possibility),
                                                    Probability{fault.sure});
            out.explanations.push_back(std::move(explanation));
        }
    }

    std::optional<Level> baseline_of(const MeterPoint& point) const {
        for (const auto& [reading, occasion] : readings_)
            if (occasion == 1 && reading.point == point) return reading.level;
        return std::nullopt;
    }

    void judge_points(Diagnosis& out, const ReadingEvidence& evidence,
                      const std::vector<Effects>& effects, const Covariance& spread,
                      const std::vector<std::size_t>& faults) const {
        const auto amounts = evidence.amounts(faults);
        std::vector<double> change(now_.size(), 0), silent(now_.size(), 0);
        for (std::size_t k = 0; k < faults.size(); ++k)
            for (const auto& [row, effect] : effects[faults[k]]) {
                change[row] += amounts[k] * effect.change;
                silent[row] = std::max(silent[row], effect.dead);
            }
        const double share = evidence.tolerance_share();
        for (std::size_t row = 0; row < now_.size(); ++row) {
            const auto& point = points_[row];
            JudgedPoint judged{readings_[row].first, chain_.chain().lane(chain_.chain().visits()[point.visit]),
                               Level::dbm(point.expected), Level::dbm(point.worst_low),
                               Level::dbm(point.worst_high)};
            judged.baseline = baseline_of(judged.reading.point);
            if (judged.reading.level) judged.deviation = *judged.reading.level - judged.expected;
            const auto i = static_cast<Eigen::Index>(row);
            const double deviation = std::sqrt(spread.always(i, i) + share * share * spread.parts(i, i));
            judged.explained = departures_.dead[row] != 0 ? silent[row] > 0
                                                             : std::abs(departures_.change[row] - change[row]) <=
                                                                   kUnexplained * deviation;
            if (!judged.explained && out.verdict == ReadingsVerdict::good)
                out.verdict = ReadingsVerdict::suspicion;
            out.points.push_back(std::move(judged));
        }
    }

    ChainPoints chain_;
    Meter meter_;
    std::vector<ChainPoint> points_, now_;  // of now, then of the baseline; of now alone
    std::vector<std::pair<PointReading, int>> readings_;
    Departures departures_;
    Suspicions suspicions_;
};

}  // namespace

Diagnosis diagnose(const Venue& venue, const SignalPlan& plan, const std::vector<PointReading>& readings,
                   const std::vector<PointReading>& baseline, const Meter& meter, const DiagnosisSink& sink) {
    return Diagnoser(venue, plan, readings, baseline, meter).diagnose(sink);
}

}  // namespace mastline
