// SPDX-License-Identifier: Apache-2.0
// What makes one of two packings of the same cost the better one.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "planner/assignment/placement.hpp"

namespace mastline::packing {

enum class Figure : std::uint8_t { pairs, reserve, evenness };  // the first counts most

struct Merit {
    int pairs = 0;                // (bin, class): tuners
    int dark_at_worst = 0;        // items that the worst loss leaves without a home
    int dark_in_all = 0;          // of all losses together
    std::int64_t unevenness = 0;  // squares of the bins' rates in kbit/s, summed

    auto operator<=>(const Merit&) const = default;
    bool best(Figure figure) const { return figure == Figure::reserve && dark_in_all == 0; }  // none is better
};

// For bins that are used; the reserve as the straight way after a loss finds it.
class MeritOf {
public:
    MeritOf(const Placement& placement, const std::vector<std::size_t>& used);

    Merit of(Placement& placement) const;
    // None where it is no better than `now`: in `figure`, with none before it worse.
    std::optional<Merit> of(Placement& placement, const Merit& now, Figure figure) const;

    // How often a copy is tried in a bin to know the reserve.
    std::int64_t steps_of_reserve() const;

private:
    std::int64_t unevenness(const Placement& placement) const;
    bool add_reserve(Placement& placement, Merit& out, const Merit* most) const;

    std::vector<std::size_t> used_;
    std::vector<std::size_t> losses_;
    std::int64_t copies_ = 0;
};

}  // namespace mastline::packing
