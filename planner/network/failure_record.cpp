// SPDX-License-Identifier: Apache-2.0
#include "planner/network/failure_record.hpp"

#include <limits>

namespace mastline {

FailureRecord::FailureRecord(const Site& site, const Addressing& addressing, NetworkLoad& out)
    : site_(site), addressing_(addressing), out_(out), varying_(site), mixes_(2 * site.venue.links.size()) {
    for (auto& load : out.links) load.worst_failure = std::max(load.worst_mix, load.flooded);
    constexpr BitRate kNoMember(std::numeric_limits<std::int64_t>::max());
    for (std::size_t i = 0; i < mixes_.size(); ++i) {
        const auto& load = out.links[i];
        worst_.push_back({load.worst_failure, load.worst_failure, load.members > 1 ? load.failure_member : kNoMember});
    }
    for (std::size_t i = mixes_.size(); i < out.links.size(); ++i)
        if (out.links[i].of == LoadOf::display_port) ports_[site.zone_at[out.links[i].index]].push_back(i);
}

void FailureRecord::flood_ports(const FloodedAt& flooded) {
    for (const auto& [at, rate] : flooded) {
        const auto ports = ports_.find(at);
        if (ports == ports_.end()) continue;
        for (const auto i : ports->second) {
            auto& load = out_.links[i];
            const auto brought = rate.on(site_.tagged_port(load.index));
            if (brought <= load.worst_failure) continue;
            load.worst_failure = load.failure_nearly_always = brought;  // at its peak
            load.failure = failure_;
        }
    }
}

void FailureRecord::cut_off(std::size_t zone) {
    out_.cut_off.push_back({failure_, site_.venue.zones[zone].name});
}

void FailureRecord::lost(std::vector<std::size_t> carriages) {
    if (!carriages.empty()) out_.source_losses.push_back({failure_, std::move(carriages)});
}

void FailureRecord::finish() {
    for (std::size_t i = 0; i < mixes_.size(); ++i) {
        if (!mixes_[i]) continue;
        out_.links[i].worst_failure = worst_[i].whole;
        out_.links[i].failure_nearly_always = mixes_[i]().nearly_always;
    }
}

void FailureRecord::raise_member(LinkIndex link, std::size_t slot, const std::vector<CarriageIndex>& flows,
                                 const MixAmong& mix_among) {
    auto& load = out_.links[slot];
    const auto member = fuller_member(site_, addressing_, link, load.members, flows, mix_among,
                                      load.failure_member, drawn_[slot]);
    if (!member) return;
    load.failure_member = worst_[slot].member = member->fullest;
    load.failure_member_rule = member->rule;
    load.failure_member_exact = member->exact;
    load.member_failure = failure_;
}

void raise_worst_mix(FailureRecord& record, const Site& site, const Direction& d,
                     const SourceMask& behind, const Reach& ahead) {
    const auto rate = site.rules.worst_mix(behind, ahead, site.tagged(d.link));
    record.raise(d, rate, [&] {
        return [&site, behind, ahead, tagged = site.tagged(d.link)] {
            return varying_load(site, site.rules.worst_groups(behind, ahead), tagged);
        };
    });
    constexpr auto kAllOfThem = std::numeric_limits<std::int64_t>::max();
    record.raise_member(d, rate, [&] { return site.heaviest.pick(behind, {}, kAllOfThem); },
                        mix_of_choices(ahead.always, ahead.routers > 0 ? kAllOfThem : site.rules.choices(ahead.displays)));
}

void raise_flooded(FailureRecord& record, const Site& site, const Direction& d, const SourceMask& behind,
                   const FloodLoads& flood) {
    const auto rate = flood.along(d).on(site.tagged(d.link));
    if (rate <= record.matters_above(d)) return;
    if (rate < site.heaviest.total(behind, site.tagged(d.link))) raise_fed(record, site, d, rate, behind, flood.feeds(d));
    else raise_flooded_whole(record, site, d, rate, behind);
}

void raise_flooded_whole(FailureRecord& record, const Site& site, const Direction& d, BitRate rate, const SourceMask& behind) {
    FloodFeeds feeds(site);
    feeds.enter(behind);
    raise_fed(record, site, d, rate, behind, feeds);
}

void raise_fed(FailureRecord& record, const Site& site, const Direction& d, BitRate rate, const SourceMask& behind,
               const FloodFeeds& feeds) {
    record.raise(d, rate, [&] {
        return [&site, &varying = record.varying(), feeds, tagged = site.tagged(d.link)] {
            return varying.load(feeds.entering(), feeds.chosen(site), tagged);
        };
    });
    record.raise_member(
        d, rate, [&] { return site.heaviest.pick(behind, {}, std::numeric_limits<std::int64_t>::max()); },
        [&](const std::vector<CarriageIndex>& flows) { return feeds.among(site, flows); });
}

}  // namespace mastline
