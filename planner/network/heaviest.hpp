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

private:
    // Those of one mask, heaviest first, and the sums of the first n.
    struct Ladder {
        std::vector<CarriageIndex> carriages;
        std::vector<std::int64_t> plain, tagged;
    };
    const Ladder& ladder(const SourceMask& sources) const;

    const std::vector<NetworkCarriage>* carriages_;
    std::vector<std::uint32_t> source_of_;  // by carriage
    std::size_t source_count_ = 0;
    std::vector<CarriageIndex> by_rate_;  // heaviest first
    std::vector<std::uint32_t> place_;    // in by_rate_
    mutable std::map<SourceMask, Ladder> ladders_;
};

}  // namespace mastline
