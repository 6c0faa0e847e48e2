// SPDX-License-Identifier: Apache-2.0
#include "planner/network/heaviest.hpp"

#include <algorithm>
#include <set>
#include <tuple>

#include "planner/network/topology.hpp"

namespace mastline {

namespace {

// Sets of sources are few: a tree with s sources splits them in at most 2s ways. Re-converged trees
// add some; the limit only bounds memory, to about 100 MB.
constexpr std::size_t kMostRungs = 4'000'000;

}  // namespace

Heaviest::Heaviest(const std::vector<NetworkCarriage>& carriages)
    : carriages_(&carriages), source_of_(carriages.size(), kNone), place_(carriages.size(), kNone) {
    std::map<std::tuple<SwitchIndex, std::size_t, bool>, std::uint32_t> numbers;
    for (CarriageIndex i = 0; i < carriages.size(); ++i) {
        const auto& c = carriages[i];
        if (!c.enters) continue;
        const auto next = static_cast<std::uint32_t>(numbers.size());
        source_of_[i] = numbers.emplace(std::tuple(*c.enters, c.card, c.is_protected), next).first->second;
        by_rate_.push_back(i);
    }
    source_count_ = numbers.size();
    // Plain and tagged rates are in the same order: the tag adds to every datagram alike.
    std::stable_sort(by_rate_.begin(), by_rate_.end(), [&](CarriageIndex a, CarriageIndex b) {
        return carriages[a].tagged > carriages[b].tagged;
    });
    for (std::uint32_t i = 0; i < by_rate_.size(); ++i) place_[by_rate_[i]] = i;
}

const Heaviest::Ladder& Heaviest::ladder(const SourceMask& sources) const {
    const auto found = ladders_.find(sources);
    if (found != ladders_.end()) return found->second;
    if (rungs_ > kMostRungs) ladders_.clear(), rungs_ = 0;
    Ladder ladder;
    ladder.plain.push_back(0);
    ladder.tagged.push_back(0);
    for (const auto c : by_rate_) {
        if (!sources.has(source_of(c))) continue;
        ladder.carriages.push_back(c);
        ladder.places.push_back(place_[c]);
        ladder.plain.push_back(ladder.plain.back() + (*carriages_)[c].plain.bits_per_second());
        ladder.tagged.push_back(ladder.tagged.back() + (*carriages_)[c].tagged.bits_per_second());
    }
    rungs_ += ladder.carriages.size();
    return ladders_.emplace(sources, std::move(ladder)).first->second;
}

BitRate Heaviest::sum(const SourceMask& sources, const JoinCounts& always, std::int64_t choices,
                      bool tagged) const {
    const Ladder& l = ladder(sources);
    std::size_t end = first_rungs(l, choices);
    BitRate beyond;
    // The always-joined of these sources, in the ladder's order: choices step over them.
    for (const auto place : joined_places(sources, always)) {
        if (end == l.places.size() || place < l.places[end]) end = std::min(end + 1, l.places.size());
        else beyond += rate_of((*carriages_)[by_rate_[place]], tagged);
    }
    return BitRate((tagged ? l.tagged : l.plain)[end]) + beyond;
}

std::size_t Heaviest::first_rungs(const Ladder& l, std::int64_t choices) {
    return static_cast<std::size_t>(
        std::min<std::int64_t>(choices, static_cast<std::int64_t>(l.carriages.size())));
}

std::vector<std::uint32_t> Heaviest::joined_places(const SourceMask& sources,
                                                   const JoinCounts& always) const {
    std::vector<std::uint32_t> out;
    for (const auto& e : always.entries())
        if (place_[e.carriage] != kNone && sources.has(source_of(e.carriage)))
            out.push_back(place_[e.carriage]);
    std::sort(out.begin(), out.end());
    return out;
}

std::uint32_t Heaviest::place_after(const SourceMask& sources, const std::vector<std::uint32_t>& joined,
                                    std::int64_t choices) const {
    const Ladder& l = ladder(sources);
    std::size_t end = first_rungs(l, choices);
    for (const auto place : joined)
        if (end < l.places.size() && place < l.places[end]) ++end;
    return end < l.places.size() ? l.places[end] : static_cast<std::uint32_t>(by_rate_.size());
}

std::int64_t Heaviest::count_before(const SourceMask& sources, const std::vector<std::uint32_t>& joined,
                                    std::uint32_t place) const {
    const auto before = [place](const std::vector<std::uint32_t>& places) {
        return std::lower_bound(places.begin(), places.end(), place) - places.begin();
    };
    return before(ladder(sources).places) - before(joined);
}

BitRate Heaviest::total(const SourceMask& sources, bool tagged) const {
    const Ladder& l = ladder(sources);
    return BitRate(tagged ? l.tagged.back() : l.plain.back());
}

std::size_t Heaviest::count(const SourceMask& sources) const {
    return ladder(sources).carriages.size();
}

std::vector<CarriageIndex> Heaviest::pick(const SourceMask& sources, const JoinCounts& always,
                                          std::int64_t choices) const {
    std::set<CarriageIndex> joined;
    for (const auto& e : always.entries())
        if (source_of_[e.carriage] != kNone && sources.has(source_of_[e.carriage]))
            joined.insert(e.carriage);
    std::vector<CarriageIndex> out;
    for (const auto c : ladder(sources).carriages) {
        if (choices == 0 && joined.empty()) break;
        if (joined.erase(c) == 0) {
            if (choices == 0) continue;
            --choices;
        }
        out.push_back(c);
    }
    return out;
}

}  // namespace mastline
