// SPDX-License-Identifier: Apache-2.0
// Switches and links as a graph of numbers.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "mastline/venue/venue.hpp"
#include "planner/network/carriage_table.hpp"

namespace mastline {

using LinkIndex = std::uint32_t;  // into Venue::links
inline constexpr std::uint32_t kNone = 0xFFFFFFFF;

struct Neighbour {
    SwitchIndex node = kNone;
    LinkIndex link = kNone;
};

struct Topology {
    // Numbers as in the venue file.
    explicit Topology(const Venue& venue);
    // Numbers as in `switches`.
    Topology(const std::vector<const Switch*>& switches, const std::vector<Link>& links);

    std::size_t size() const { return rank.size(); }
    std::span<const Neighbour> neighbours(SwitchIndex s) const {
        return std::span(adjacent).subspan(first[s], first[s + 1] - first[s]);
    }
    // Where the direction of `link` from `end` stands in the list of loads.
    std::size_t slot(LinkIndex link, SwitchIndex end) const {
        return 2 * std::size_t{link} + (from[link] == end ? 0 : 1);
    }

    std::vector<std::uint32_t> rank;       // order of bridge identifiers: priority, address, name
    std::vector<std::uint32_t> link_rank;  // order of link names, in place of port identifiers
    std::vector<std::int64_t> cost;        // by link
    std::vector<SwitchIndex> from;         // by link; kNone: no switch of the venue
    std::vector<SwitchIndex> queriers;     // as the election ranks them, lowest address first

private:
    std::vector<std::size_t> first;
    std::vector<Neighbour> adjacent;
};

// Of a bundle that follows its speed and has lost a member. REQUIRES: it has several
std::int64_t cost_with_one_less(const Link& link);

// IEEE 802.1D-2004 table 17-3: 20 Tbit/s over the speed, a bundle by its whole speed; 1 at least.
std::int64_t path_cost(const Link& link, int members);

}  // namespace mastline
