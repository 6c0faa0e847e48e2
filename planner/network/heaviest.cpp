// SPDX-License-Identifier: Apache-2.0
#include "planner/network/heaviest.hpp"

#include <algorithm>
#include <set>
#include <tuple>

#include "planner/network/topology.hpp"

namespace mastline {

namespace {

// Sets of sources are few: a tree with s sources splits them in at most 2s ways. Re-converged trees
// add some; the limit only bounds memory.
constexpr std::size_t kMostLadders = 512;

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
    if (ladders_.size() >= kMostLadders) ladders_.clear();
    Ladder ladder;
    ladder.plain.push_back(0);
    ladder.tagged.push_back(0);
    for (const auto c : by_rate_) {
        if (!sources.has(source_of(c))) continue;
        ladder.carriages.push_back(c);
        ladder.plain.push_back(ladder.plain.back() + (*carriages_)[c].plain.bits_per_second());
        ladder.tagged.push_back(ladder.tagged.back() + (*carriages_)[c].tagged.bits_per_second());
    }
    return ladders_.emplace(sources, std::move(ladder)).first->second;
}

BitRate Heaviest::sum(const SourceMask& sources, const JoinCounts& always, std::int64_t choices,
                      bool tagged) const {
    const Ladder& l = ladder(sources);
    // The always-joined of these sources, in the ladder's order: choices step over them.
    std::vector<std::pair<std::uint32_t, CarriageIndex>> joined;
    for (const auto& e : always.entries())
        if (place_[e.carriage] != kNone && sources.has(source_of(e.carriage)))
            joined.emplace_back(place_[e.carriage], e.carriage);
    std::sort(joined.begin(), joined.end());
    std::size_t end = static_cast<std::size_t>(
        std::min<std::int64_t>(choices, static_cast<std::int64_t>(l.carriages.size())));
    BitRate beyond;
    for (const auto& [place, carriage] : joined) {
        const bool within = end < l.carriages.size() ? place < place_[l.carriages[end]] : true;
        if (within) end = std::min(end + 1, l.carriages.size());
        else beyond += rate_of((*carriages_)[carriage], tagged);
    }
    return BitRate((tagged ? l.tagged : l.plain)[end]) + beyond;
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
