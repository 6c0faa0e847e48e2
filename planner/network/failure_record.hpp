// SPDX-License-Identifier: Apache-2.0
// Keeps the worst of all failures for each direction of each link.
#pragma once

#include <string>

#include "mastline/network/network_load.hpp"
#include "planner/network/component.hpp"
#include "planner/network/port_loads.hpp"

namespace mastline {

class FailureRecord {
public:
    FailureRecord(const Site& site, NetworkLoad& out) : site_(site), out_(out) {
        for (auto& load : out.links) load.worst_failure = std::max(load.worst_mix, load.flooded);
    }

    void begin(std::string failure) { failure_ = std::move(failure); }
    void raise(const Direction& d, BitRate rate) {
        auto& load = out_.links[slot_of(site_, d.link, d.from)];
        if (rate <= load.worst_failure) return;
        load.worst_failure = rate;
        load.failure = failure_;
    }
    void cut_off(std::size_t zone) {
        out_.cut_off.push_back({failure_, site_.venue.zones[zone].name});
    }
    void lost(std::vector<std::size_t> carriages) {
        if (!carriages.empty()) out_.source_losses.push_back({failure_, std::move(carriages)});
    }

private:
    const Site& site_;
    NetworkLoad& out_;
    std::string failure_;
};

}  // namespace mastline
