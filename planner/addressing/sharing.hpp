// SPDX-License-Identifier: Apache-2.0
// Groups for homes that may draw from some of the ranges only, so that nobody goes without who could
// have one: a matching of homes and Ethernet addresses, made larger along augmenting paths (Kuhn 1955).
#pragma once

#include <optional>
#include <set>
#include <vector>

#include "planner/addressing/group_pool.hpp"
#include "planner/addressing/range_choice.hpp"

namespace mastline {

class Sharing {
public:
    // `choices` and `groups` are by home. Homes with a group already keep it; those that are given
    // one here may have to pass it on.
    Sharing(GroupPool& pool, std::vector<std::optional<Group>>& groups);

    // The lowest free group of the first range that has one, else one that somebody else can do
    // without. False when there is none; then contested() tells what was looked through.
    bool give(std::size_t home, const std::vector<RangeChoice>& choices);

    // The ranges that the last home found exhausted: its own, and those of all that it competes with.
    std::vector<std::size_t> contested() const;

private:
    bool find(std::size_t home, const std::vector<RangeChoice>& choices);

    GroupPool& pool_;
    std::vector<std::optional<Group>>& groups_;
    std::vector<std::size_t> given_;
    std::set<RangeChoice> tried_;  // homes of one choice can do without alike, or none can
};

}  // namespace mastline
