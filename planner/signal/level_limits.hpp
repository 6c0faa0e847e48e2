// SPDX-License-Identifier: Apache-2.0
// What settings have to keep to, as linear limits on the unknowns.
#pragma once

#include <utility>
#include <vector>

#include "mastline/signal/signal_plan.hpp"
#include "planner/signal/level_terms.hpp"

namespace mastline {

// Sum of factor times unknown is at most `most`; of a window, at most `most` less the margin.
struct LevelLimit {
    enum class Kind { window_low, window_high, amplifier, slope };
    Kind kind = Kind::window_low;
    std::vector<std::pair<std::size_t, double>> factors;  // by unknown, never empty
    double most = 0;
    std::size_t visit = 0;  // whose level it limits

    bool of_window() const { return kind == Kind::window_low || kind == Kind::window_high; }
};

// Limits that an unknown has a part in; of those with the same factors only the narrowest. A window's
// limits hold for every band edge in every user band, a little more than is judged where an output
// neither holds its level nor loses more at higher frequencies.
std::vector<LevelLimit> level_limits(const Chain& chain, const Levels& levels,
                                     const std::vector<Unknown>& unknowns,
                                     const std::vector<TrackTerms>& terms);

}  // namespace mastline
