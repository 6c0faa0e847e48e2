// SPDX-License-Identifier: Apache-2.0
#include "planner/signal/cheapest_cure.hpp"

#include <set>

#include "planner/signal/settings_program.hpp"

namespace mastline {

namespace {

using Kind = Unknown::Kind;

constexpr double kMostPad = 30, kMostTilt = 15, kMostGain = 40;  // dB, common practice
constexpr double kMostShortened = 0.9;                           // of a run's length

// Each change of the runs on the way to the missed visits.
void add_changes(const Chain& chain, const std::vector<std::size_t>& missed, OpenSettings& open) {
    std::set<std::pair<std::size_t, std::size_t>> lanes;  // run, lane from 0
    for (const auto start : missed)
        for (std::optional<std::size_t> v = start; v; v = chain.visits()[*v].parent) {
            const auto& visit = chain.visits()[*v];
            if (!visit.run || chain.venue().runs[*visit.run].medium == RunMedium::fibre) continue;
            lanes.emplace(*visit.run,
                          static_cast<std::size_t>(chain.visits()[*visit.parent].conductor) - 1);
        }
    std::set<std::size_t> runs;
    for (const auto& [run, lane] : lanes) {
        open.add({Kind::run_pad, run, lane, 0, 0, kMostPad, 1, 2});
        if (!runs.insert(run).second) continue;
        open.add({Kind::run_equaliser, run, 0, 0, 0, kMostTilt, 1, 3});
        if (!chain.venue().runs[run].loss)
            open.add({Kind::run_shorter, run, 0, 0, 0, kMostShortened, 0, 4});
        open.add({Kind::run_gain, run, 0, 0, 0, kMostGain, 1, 10});
    }
}

std::string in_words(const Unknown& change, double value, const Run& run) {
    const auto db = number_text(value, 1) + " dB";
    const auto lane = run.lanes.size() > 1 ? " lane " + std::to_string(change.lane + 1) : "";
    switch (change.kind) {
        case Kind::run_pad: return "a pad of " + db + " in run " + run.name + lane;
        case Kind::run_equaliser:
            return "an equaliser that takes " + db + " off at 950 MHz in run " + run.name;
        case Kind::run_shorter:
            return "run " + run.name + " shortened to " + to_text(run.length * (1 - value));
        default: return "an amplifier with a gain of " + db + " in run " + run.name;
    }
}

}  // namespace

std::string cheapest_cure(const Chain& chain, const OpenSettings& open,
                          const std::vector<std::size_t>& missed) {
    OpenSettings changed = open;
    add_changes(chain, missed, changed);
    const Levels levels(chain, changed.base());
    const auto& unknowns = changed.unknowns();
    const auto limits = level_limits(chain, levels, unknowns, level_terms(chain, levels, unknowns));
    const SettingsProgram program(chain.venue(), changed, limits);
    std::vector<std::size_t> free;
    for (std::size_t u = 0; u < unknowns.size(); ++u) free.push_back(u);
    const auto answer =
        program.solve(free, std::vector<double>(unknowns.size()), SettingsGoal::cure);
    using Outcome = IntegerProgram::Outcome;
    if (answer.outcome == Outcome::open) return "no cure was found in a short search";
    if (answer.outcome == Outcome::infeasible)
        return "no pad, equaliser, amplifier or shorter run cures it: lessen tolerances, or choose "
               "parts with wider windows or more output";
    std::string out;
    for (std::size_t u = open.unknowns().size(); u < unknowns.size(); ++u)
        if (answer.values[u] > 1e-6)
            out += (out.empty() ? "" : " and ") +
                   in_words(unknowns[u], answer.values[u], chain.venue().runs[unknowns[u].part]);
    return out.empty() ? "none is needed but more pads or taps in stock"
           : answer.outcome == Outcome::optimal ? "the cheapest change is " + out
                                                : "a change that cures it is " + out;
}

}  // namespace mastline
