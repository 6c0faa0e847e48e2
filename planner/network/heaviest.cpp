// SPDX-License-Identifier: Apache-2.0
#include "planner/network/heaviest.hpp"

#include <algorithm>
#include <map>
#include <optional>
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
    std::map<std::tuple<SwitchIndex, std::size_t, bool, std::optional<std::size_t>>, std::uint32_t> numbers;
    for (CarriageIndex i = 0; i < carriages.size(); ++i) {
        const auto& c = carriages[i];
        if (!c.enters) continue;
        const auto next = static_cast<std::uint32_t>(numbers.size());
        source_of_[i] = numbers.emplace(std::tuple(*c.enters, c.card, c.is_protected, c.standby), next).first->second;
        by_rate_.push_back(i);
    }
    source_count_ = numbers.size();
    // Plain and tagged rates are in the same order: the tag adds to every datagram alike.
    std::stable_sort(by_rate_.begin(), by_rate_.end(), [&](CarriageIndex a, CarriageIndex b) {
        return carriages[a].tagged > carriages[b].tagged;
    });
    for (std::uint32_t i = 0; i < by_rate_.size(); ++i) {
        const auto& c = carriages[by_rate_[i]];
        place_[by_rate_[i]] = i;
        by_place_.push_back({source_of_[by_rate_[i]], c.plain.bits_per_second(), c.tagged.bits_per_second()});
    }
    by_source_.resize(source_count_);
    for (const auto& c : by_place_) {
        auto& of = by_source_[c.source];
        ++of.count, of.plain += c.plain, of.tagged += c.tagged;
    }
}

std::shared_ptr<const Heaviest::Ladder> Heaviest::ladder_of(const SourceMask& sources) const {
    auto out = std::make_shared<Ladder>();
    const auto size = count(sources);
    out->places_.reserve(size);
    out->plain_.reserve(size + 1);
    out->tagged_.reserve(size + 1);
    out->plain_.push_back(0);
    out->tagged_.push_back(0);
    out->marks_.resize(by_rate_.size() / 64 + 1);
    for (std::uint32_t place = 0; place < by_rate_.size(); ++place) {
        const auto& c = by_place_[place];
        if (!sources.has(c.source)) continue;
        out->places_.push_back(place);
        out->plain_.push_back(out->plain_.back() + c.plain);
        out->tagged_.push_back(out->tagged_.back() + c.tagged);
        out->marks_[place / 64].bits |= std::uint64_t{1} << (place % 64);
    }
    for (std::size_t i = 1; i < out->marks_.size(); ++i) {
        const auto& last = out->marks_[i - 1];
        out->marks_[i].before = last.before + static_cast<std::uint32_t>(std::popcount(last.bits));
    }
    return out;
}

std::shared_ptr<const Heaviest::Ladder> Heaviest::ladder(const SourceMask& sources) const {
    const auto found = ladders_.find(sources);
    if (found != ladders_.end()) return found->second;
    if (rungs_ > kMostRungs) ladders_.clear(), rungs_ = 0;
    auto out = ladder_of(sources);
    rungs_ += out->size();
    return ladders_.emplace(sources, std::move(out)).first->second;
}

BitRate Heaviest::sum(const SourceMask& sources, const JoinCounts& always, std::int64_t choices,
                      bool tagged) const {
    if (!ladders_.contains(sources))
        if (const auto all = whole(sources); choices >= all.count) return all.rate(tagged);
    return sum(*ladder(sources), sources, always, choices, tagged);
}

BitRate Heaviest::sum(const Ladder& l, const SourceMask& sources, const JoinCounts& always, std::int64_t choices,
                      bool tagged) const {
    std::size_t end = first_rungs(l, choices);
    if (always.empty()) return l.sum(end, tagged);
    BitRate beyond;
    // The always-joined of these sources, in the ladder's order: choices step over them.
    for (const auto place : joined_places(sources, always)) {
        if (end == l.size() || place < l.places()[end]) end = std::min(end + 1, l.size());
        else beyond += rate_of((*carriages_)[by_rate_[place]], tagged);
    }
    return l.sum(end, tagged) + beyond;
}

std::size_t Heaviest::first_rungs(const Ladder& l, std::int64_t choices) {
    return static_cast<std::size_t>(std::min<std::int64_t>(choices, static_cast<std::int64_t>(l.size())));
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

BitRate Heaviest::total(const SourceMask& sources, bool tagged) const {
    const auto found = ladders_.find(sources);
    return found != ladders_.end() ? found->second->sum(found->second->size(), tagged) : whole(sources).rate(tagged);
}

std::size_t Heaviest::count(const SourceMask& sources) const { return static_cast<std::size_t>(whole(sources).count); }

Heaviest::Whole Heaviest::whole(const SourceMask& sources) const {
    Whole out;
    sources.for_each([&](std::size_t source) {
        const auto& of = by_source_[source];
        out.count += of.count, out.plain += of.plain, out.tagged += of.tagged;
    });
    return out;
}

std::int64_t Heaviest::pick_count(const SourceMask& sources, const JoinCounts& always,
                                  std::int64_t choices) const {
    const auto all = static_cast<std::int64_t>(count(sources));
    const auto joined = static_cast<std::int64_t>(always.empty() ? 0 : joined_places(sources, always).size());
    return joined + std::min(choices, all - joined);
}

std::vector<CarriageIndex> Heaviest::pick(const SourceMask& sources, const JoinCounts& always,
                                          std::int64_t choices) const {
    std::vector<CarriageIndex> out;
    pick_onto(out, sources, always, choices);
    return out;
}

void Heaviest::pick_onto(std::vector<CarriageIndex>& out, const SourceMask& sources, const JoinCounts& always,
                         std::int64_t choices) const {
    const auto joined = joined_places(sources, always);
    auto next = joined.begin();
    const auto l = ladder(sources);
    for (const auto place : l->places()) {
        const bool is_joined = next != joined.end() && *next == place;
        if (is_joined) ++next;
        else if (choices == 0 && next == joined.end()) break;
        else if (choices == 0) continue;
        else --choices;
        out.push_back(by_rate_[place]);
    }
}

}  // namespace mastline
