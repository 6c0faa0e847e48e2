// SPDX-License-Identifier: Apache-2.0
// The heaviest carriages among those that enter on one side of a link.
#pragma once

#include <bit>
#include <cstdint>
#include <memory>
#include <unordered_map>
#include <vector>

#include "planner/network/reach.hpp"

namespace mastline {

class Heaviest {
public:
    class Ladder;

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
    // Where the ladder of these sources is at hand.
    BitRate sum(const Ladder& ladder, const SourceMask& sources, const JoinCounts& always, std::int64_t choices,
                bool tagged) const;
    BitRate total(const SourceMask& sources, bool tagged) const;
    std::vector<CarriageIndex> pick(const SourceMask& sources, const JoinCounts& always,
                                    std::int64_t choices) const;
    // The same, added to a list.
    void pick_onto(std::vector<CarriageIndex>& out, const SourceMask& sources, const JoinCounts& always,
                   std::int64_t choices) const;
    std::size_t count(const SourceMask& sources) const;

    // How many pick() would give.
    std::int64_t pick_count(const SourceMask& sources, const JoinCounts& always, std::int64_t choices) const;

    // Places in by_rate() of those of `sources` that `always` joins, ascending.
    std::vector<std::uint32_t> joined_places(const SourceMask& sources, const JoinCounts& always) const;

    // Those of one set of sources, heaviest first, and the sums of the first n.
    class Ladder {
    public:
        // Places in by_rate(), ascending.
        const std::vector<std::uint32_t>& places() const { return places_; }
        std::size_t size() const { return places_.size(); }
        BitRate sum(std::size_t first, bool tagged) const { return BitRate((tagged ? tagged_ : plain_)[first]); }
        // The same before a whole block of 64 places.
        std::int64_t count_before_block(std::uint32_t block) const { return marks_[block].before; }
        // How many stand before `place`, which is at most that past the end of by_rate().
        std::int64_t count_before(std::uint32_t place) const {
            const auto& m = marks_[place / 64];
            return m.before + static_cast<std::uint32_t>(std::popcount(m.bits & ~(~std::uint64_t{0} << (place % 64))));
        }

    private:
        friend class Heaviest;
        struct Marks {  // of 64 places
            std::uint64_t bits = 0;
            std::uint32_t before = 0;  // marks of the places before these
        };
        std::vector<std::uint32_t> places_;
        std::vector<std::int64_t> plain_, tagged_;
        std::vector<Marks> marks_;
    };
    // Kept for the next that asks.
    std::shared_ptr<const Ladder> ladder(const SourceMask& sources) const;

private:
    // Of all streams of some sources.
    struct Whole {
        std::int64_t count = 0, plain = 0, tagged = 0;  // bit/s
        BitRate rate(bool with_tag) const { return BitRate(with_tag ? tagged : plain); }
    };
    // Makes no ladder: most sets of sources that a failure leaves are asked for once.
    Whole whole(const SourceMask& sources) const;
    std::shared_ptr<const Ladder> ladder_of(const SourceMask& sources) const;
    static std::size_t first_rungs(const Ladder& l, std::int64_t choices);

    const std::vector<NetworkCarriage>* carriages_;
    std::vector<std::uint32_t> source_of_;  // by carriage
    std::size_t source_count_ = 0;
    std::vector<CarriageIndex> by_rate_;  // heaviest first
    std::vector<std::uint32_t> place_;    // in by_rate_
    struct Rung {
        std::uint32_t source;
        std::int64_t plain, tagged;  // bit/s
    };
    std::vector<Rung> by_place_;          // of those in by_rate_
    std::vector<Whole> by_source_;
    mutable std::unordered_map<SourceMask, std::shared_ptr<const Ladder>, SourceMaskHash> ladders_;
    mutable std::size_t rungs_ = 0;       // in all ladders
};

}  // namespace mastline
