// SPDX-License-Identifier: Apache-2.0
// The groups of the policy's ranges, and which of them are still to be had.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "mastline/venue/venue.hpp"
#include "planner/addressing/interval_set.hpp"

namespace mastline {

class GroupPool {
public:
    explicit GroupPool(const Venue& venue);

    // No two groups taken share an Ethernet address.
    bool is_free(const Group& group) const;
    void take(const Group& group);
    // The range lets the group be used, free or not.
    bool allows(std::size_t range, const Group& group) const;
    // The lowest free group of a range.
    std::optional<Group> next(std::size_t range) const;
    // The highest free group of a range.
    std::optional<Group> last(std::size_t range) const;
    // The group of a range with an Ethernet address, given as mac_number(), free or not.
    std::optional<Group> with_mac(std::size_t range, std::uint64_t number) const;
    // Ethernet addresses that the ranges can give and that nobody has yet.
    std::uint64_t left() const;
    std::uint64_t left(const std::vector<std::size_t>& ranges) const;

private:
    struct Usable {
        Group like;         // first group of the range: its version and prefix
        IntervalSet words;  // last 32 bits of the groups that no rule or reservation forbids
    };
    std::vector<Usable> usable_;
    IntervalSet taken_;  // Ethernet addresses as numbers
};

}  // namespace mastline
