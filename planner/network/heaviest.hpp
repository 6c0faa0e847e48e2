// SPDX-License-Identifier: Apache-2.0
// The heaviest carriages among those that enter on one side of a link.
#pragma once

#include <cstdint>
#include <map>
#include <vector>

#include "planner/network/reach.hpp"

namespace mastline {

class Heaviest {
public:
    // `carriages` must outlive it. Those that enter nowhere are left out.
    explicit Heaviest(const std::vector<NetworkCarriage>& carriages);

    // All that enter somewhere, heaviest first.
    const std::vector<CarriageIndex>& by_rate() const { return by_rate_; }

    std::size_t source_count() const { return source_count_; }
    // kNone where the carriage enters nowhere.
    std::uint32_t source_of(CarriageIndex c) const { return source_of_[c]; }

    // Carriages of `sources` that flow when those of `always` are joined and `choices` displays
    // each choose the heaviest that nobody chose yet.
    BitRate sum(const SourceMask& sources, const JoinCounts& always, std::int64_t choices,
                bool tagged) const;
    BitRate total(const SourceMask& sources, bool tagged) const;
    std::vector<CarriageIndex> pick(const SourceMask& sources, const JoinCounts& always,
                                    std::int64_t choices) const;
    std::size_t count(const SourceMask& sources) const;

    // Places in by_rate() of those of `sources` that `always` joins, ascending.
    std::vector<std::uint32_t> joined_places(const SourceMask& sources, const JoinCounts& always) const;
    // The place at which the first stands that is not among the `choices` heaviest of `sources`,
    // those at `joined` left out; past the end where there are no more.
    std::uint32_t place_after(const SourceMask& sources, const std::vector<std::uint32_t>& joined,
                              std::int64_t choices) const;
    // How many of `sources` stand before `place`, those at `joined` left out.
    std::int64_t count_before(const SourceMask& sources, const std::vector<std::uint32_t>& joined,
                              std::uint32_t place) const;

private:
    // Those of one mask, heaviest first, with their places in by_rate(), and the sums of the first n.
    struct Ladder {
        std::vector<CarriageIndex> carriages;
        std::vector<std::uint32_t> places;
        std::vector<std::int64_t> plain, tagged;
    };
    const Ladder& ladder(const SourceMask& sources) const;
    static std::size_t first_rungs(const Ladder& l, std::int64_t choices);

    const std::vector<NetworkCarriage>* carriages_;
    std::vector<std::uint32_t> source_of_;  // by carriage
    std::size_t source_count_ = 0;
    std::vector<CarriageIndex> by_rate_;  // heaviest first
    std::vector<std::uint32_t> place_;    // in by_rate_
    mutable std::map<SourceMask, Ladder> ladders_;
    mutable std::size_t rungs_ = 0;       // in all ladders
};

}  // namespace mastline
