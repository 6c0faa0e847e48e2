// SPDX-License-Identifier: Apache-2.0
#include "planner/network/failure_record.hpp"

#include "planner/network/varying_loads.hpp"

namespace mastline {

FailureRecord::FailureRecord(const Site& site, NetworkLoad& out)
    : site_(site), out_(out), mixes_(2 * site.venue.links.size()) {
    for (auto& load : out.links) load.worst_failure = std::max(load.worst_mix, load.flooded);
    for (std::size_t i = 0; i < mixes_.size(); ++i) usual_.push_back(out.links[i].worst_failure);
    worst_ = usual_;
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
        out_.links[i].worst_failure = worst_[i];
        const auto sum = varying_load(site_, mixes_[i](), site_.tagged(static_cast<LinkIndex>(i / 2)));
        out_.links[i].failure_nearly_always = sum.nearly_always;
    }
}

void raise_worst_mix(FailureRecord& record, const Site& site, const Direction& d,
                     const SourceMask& behind, const Reach& ahead) {
    record.raise(d, site.rules.worst_mix(behind, ahead, site.tagged(d.link)), [&] {
        return [&site, behind, ahead] { return site.rules.worst_groups(behind, ahead); };
    });
}

}  // namespace mastline
