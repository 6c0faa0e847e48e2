// SPDX-License-Identifier: Apache-2.0
// The worst mix where each display is reached along several trees. What displays can call for is a
// polymatroid: of the streams of any set of trees at most as many flow as displays are beyond that
// any of them reaches. The heaviest mix of one is found by decomposition: choose as if all displays
// were reached by all trees; where some trees are asked for more than their displays, these choose
// among themselves, and the others share what displays are left (Fujishige, "Lexicographically
// optimal base of a polymatroid with respect to a weight vector", Mathematics of Operations
// Research 5, 1980).
#pragma once

#include <vector>

#include "planner/network/routed_trees.hpp"

namespace mastline {

// One tree that comes by a place.
struct RoutedCaller {
    std::size_t tree = 0;
    const SourceMask* sources = nullptr;  // what it brings
    const JoinCounts* always = nullptr;   // joined beyond
};

// By caller: how many of its streams flow at worst because displays chose them. Displays that zap
// let further ones flow on, on whatever tree.
std::vector<std::int64_t> routed_choices(const Site& site, const std::vector<RoutedCaller>& callers,
                                         const Crowds& crowds);

// The same where only the streams of `flows` can be chosen: those that flow, joined ones included.
std::vector<CarriageIndex> routed_mix_among(const Site& site, const std::vector<RoutedCaller>& callers,
                                            const Crowds& crowds,
                                            const std::vector<CarriageIndex>& flows);

// A part of a mix: the heaviest `choices` of `sources`, and those of `always` besides.
struct MixShare {
    SourceMask sources;
    JoinCounts always;
    std::int64_t choices = 0;
};

// `choices` by caller.
std::vector<MixShare> shares_of(const std::vector<RoutedCaller>& callers,
                                const std::vector<std::int64_t>& choices);

BitRate rate_of(const Site& site, const std::vector<MixShare>& shares, bool tagged);
std::vector<CarriageIndex> groups_of(const Site& site, const std::vector<MixShare>& shares);

}  // namespace mastline
