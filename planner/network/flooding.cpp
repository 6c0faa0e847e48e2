// SPDX-License-Identifier: Apache-2.0
#include "planner/network/flooding.hpp"

#include <algorithm>
#include <limits>

namespace mastline {

namespace {
constexpr auto kNoLimit = std::numeric_limits<std::int64_t>::max();
}  // namespace

bool floods(const Switch& s, bool queried) {
    return !s.snooping || s.floods_unregistered || (!queried && s.floods_without_querier);
}

std::vector<CarriageIndex> FloodFeeds::chosen(const Site& site) const {
    std::vector<CarriageIndex> out;
    for (const auto& m : mixes_) site.heaviest.pick_onto(out, m.behind, m.always, m.choices);
    return out;
}

std::vector<CarriageIndex> FloodFeeds::among(const Site& site, const std::vector<CarriageIndex>& flows) const {
    std::vector<CarriageIndex> out;
    std::vector<CarriageIndex> own;
    for (const auto c : flows)
        if (entering_.has(site.heaviest.source_of(c))) out.push_back(c);
    for (const auto& m : mixes_) {
        own.clear();
        for (const auto c : flows)
            if (m.behind.has(site.heaviest.source_of(c))) own.push_back(c);
        const auto chosen = mix_of_choices(m.always, m.choices)(own);
        out.insert(out.end(), chosen.begin(), chosen.end());
    }
    return out;
}

// Upwards first, then downwards: each direction after those that feed it.
FloodLoads::FloodLoads(const Site& site, const Component& component, const std::vector<Uplink>& uplink,
                       const Sides& sides)
    : site_(site), component_(component), uplink_(uplink), sides_(sides) {
    const auto& order = component.order;
    if (std::none_of(order.begin(), order.end(), [this](SwitchIndex s) { return does_flood(s); })) return;
    place_.reserve(order.size());
    children_.resize(order.size());
    for (std::uint32_t i = 0; i < order.size(); ++i) place_.emplace(order[i], i);
    for (std::size_t i = 1; i < order.size(); ++i) children_[place_.at(uplink[order[i]].parent)].push_back(order[i]);
    up_.resize(order.size());
    down_.resize(order.size());
    std::vector<FloodRate> below(order.size());  // what enters at a switch and comes up to it
    for (std::size_t i = order.size(); i-- > 0;) {
        const bool does = does_flood(order[i]);
        if (does) below[i] += entering(order[i]);
        for (const auto child : children_[i]) below[i] += up_[place_.at(child)];
        if (i == 0) continue;
        if (does) up_[i] = below[i];
        else with_sides({uplink[order[i]].link, order[i], uplink[order[i]].parent},
                        [&](const SourceMask& behind, const Reach& ahead) { up_[i] = mix(behind, ahead); });
    }
    for (std::size_t i = 1; i < order.size(); ++i) {
        const auto parent = uplink[order[i]].parent;
        if (!does_flood(parent)) {
            with_sides({uplink[order[i]].link, parent, order[i]},
                       [&](const SourceMask& behind, const Reach& ahead) { down_[i] = mix(behind, ahead); });
            continue;
        }
        const auto at = place_.at(parent);
        down_[i] = {below[at].plain - up_[i].plain, below[at].tagged - up_[i].tagged};
        down_[i] += down_[at];  // nothing at the root
    }
}

const FloodRate& FloodLoads::along(const Direction& d) const {
    return is_up(d) ? up_[place_.at(d.from)] : down_[place_.at(d.to)];
}

FloodFeeds FloodLoads::feeds(const Direction& d) const {
    FloodFeeds out(site_);
    std::vector<Direction> open{d};
    while (!open.empty()) {
        const auto at = open.back();
        open.pop_back();
        if (!does_flood(at.from)) {
            with_sides(at, [&](const SourceMask& behind, const Reach& ahead) {
                out.mix(behind, ahead, ahead.routers > 0 ? kNoLimit : site_.rules.choices(ahead.displays));
            });
            continue;
        }
        out.enter(entering_at(at.from));
        const auto& up = uplink_[at.from];
        if (up.parent != kNone && !is_up(at)) open.push_back({up.link, up.parent, at.from});
        for (const auto child : children_[place_.at(at.from)])
            if (is_up(at) || child != at.to) open.push_back({uplink_[child].link, child, at.from});
    }
    return out;
}

FloodedAt FloodLoads::at() const {
    FloodedAt out;
    for (std::size_t i = 0; i < up_.size(); ++i) {
        const auto s = component_.order[i];
        if (!does_flood(s)) continue;
        FloodRate all = entering(s);
        all += down_[i];
        for (const auto child : children_[i]) all += up_[place_.at(child)];
        out.emplace(s, all);
    }
    return out;
}

SourceMask FloodLoads::entering_at(SwitchIndex s) const {
    const auto place = place_.at(s);
    SourceMask out = sides_.below(place).sources;
    for (const auto child : children_[place]) out.remove(sides_.below(place_.at(child)).sources);
    return out;
}

FloodRate FloodLoads::entering(SwitchIndex s) const {
    const auto sources = entering_at(s);
    return {site_.heaviest.total(sources, false), site_.heaviest.total(sources, true)};
}

FloodRate FloodLoads::mix(const SourceMask& behind, const Reach& ahead) const {
    return {site_.rules.worst_mix(behind, ahead, false), site_.rules.worst_mix(behind, ahead, true)};
}

template <class F>
void FloodLoads::with_sides(const Direction& d, F f) const {
    const bool up = is_up(d);
    const auto& below = sides_.below(place_.at(up ? d.from : d.to));
    Reach rest = sides_.total();
    rest.remove(below);
    if (up) f(below.sources, rest);
    else f(rest.sources, below);
}

}  // namespace mastline
