// SPDX-License-Identifier: Apache-2.0
// The search for settings as mixed integer programs over some of the unknowns.
#pragma once

#include <optional>
#include <vector>

#include "planner/program/integer_program.hpp"
#include "planner/signal/level_limits.hpp"

namespace mastline {

// What is asked for: the greatest margin, the fewest pads at a margin, where limits have to be missed
// to miss the worst-kept one by least, or the cheapest changes of runs that let all be kept.
enum class SettingsGoal { margin, pads, miss, cure };

struct SettingsAnswer {
    IntegerProgram::Outcome outcome = IntegerProgram::Outcome::infeasible;
    double amount = 0;           // margin or miss in dB, number of pads, cost of the cure
    std::vector<double> values;  // by unknown; those not asked about as they were
};

class SettingsProgram {
public:
    SettingsProgram(const Venue& venue, const OpenSettings& open,
                    const std::vector<LevelLimit>& limits);

    // Searches values of the unknowns in `free`; the others stay as in `values`. Limits without a free
    // unknown are left out. For the goal pads, windows keep `margin`; where that is negative all limits
    // may be missed by as much.
    SettingsAnswer solve(const std::vector<std::size_t>& free, const std::vector<double>& values,
                         SettingsGoal goal, double margin = 0) const;

    // Unknowns that have a limit or a choice in common.
    std::vector<std::vector<std::size_t>> groups(const std::vector<std::size_t>& free) const;
    // Whether no more pads and taps are taken than there are.
    bool within_stock(const std::vector<double>& values) const;
    bool has_window(const std::vector<std::size_t>& free) const;
    // How far each limit is missed, in dB; negative: kept.
    double miss(const LevelLimit& limit, const std::vector<double>& values) const;

private:
    struct Build;
    const Venue& venue_;
    const OpenSettings& open_;
    const std::vector<LevelLimit>& limits_;
};

}  // namespace mastline
