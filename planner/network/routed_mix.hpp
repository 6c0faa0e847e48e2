// SPDX-License-Identifier: Apache-2.0
// The worst mix of a place where streams come by along several trees.
#pragma once

#include <vector>

#include "planner/network/flooding.hpp"
#include "planner/network/routed_dealing.hpp"
#include "planner/network/routed_trees.hpp"

namespace mastline {

// One tree that comes by a place.
struct RoutedCaller {
    std::size_t tree = 0;
    const SourceMask* sources = nullptr;  // what it brings
    const Heaviest::Ladder* ladder = nullptr;  // of these
    const JoinCounts* always = nullptr;   // joined beyond
};

// Finds one mix after another, with the memory of the last.
class RoutedMix {
public:
    explicit RoutedMix(const Site& site);
    RoutedMix(const RoutedMix&) = delete;
    RoutedMix& operator=(const RoutedMix&) = delete;

    // `callers` must outlive the answers.
    void begin(const std::vector<RoutedCaller>& callers, const Crowds& crowds);
    // What flows if each of them reached all displays: cheap, and never less than what flows.
    BitRate at_most(bool tagged);
    // By caller: how many of its streams flow at worst because displays chose them. Displays that zap
    // let further ones flow on, on whatever tree. Good until the next begin().
    const std::vector<std::int64_t>& choices();
    BitRate sum(const std::vector<std::int64_t>& choices, bool tagged) const;

private:
    std::int64_t choices_before(std::size_t caller, std::uint32_t place) const;
    std::uint32_t place_after(const RoutedDealing::Positions& some, std::int64_t most) const;

    const Site& site_;
    const std::vector<RoutedCaller>* callers_ = nullptr;
    RoutedDealing dealing_;
    std::vector<const Heaviest::Ladder*> ladders_;  // by caller
    bool any_joined_ = false;
    std::vector<std::vector<std::uint32_t>> joined_;                // and the places of what it is joined for
};

// What flows, with a tag and without.
FloodRate rate_of(RoutedMix& mix, const std::vector<RoutedCaller>& callers, const Crowds& crowds);

std::vector<std::int64_t> routed_choices(const Site& site, const std::vector<RoutedCaller>& callers,
                                         const Crowds& crowds);

// The same where only the streams of `flows` can be chosen: those that flow, joined ones included.
std::vector<CarriageIndex> routed_mix_among(const Site& site, const std::vector<RoutedCaller>& callers,
                                            const Crowds& crowds,
                                            const std::vector<CarriageIndex>& flows);

// All that these callers bring, heaviest first.
std::vector<CarriageIndex> flows_of(const Site& site, const std::vector<RoutedCaller>& callers);

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
