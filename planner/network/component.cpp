// SPDX-License-Identifier: Apache-2.0
#include "planner/network/component.hpp"

#include <algorithm>
#include <unordered_map>

namespace mastline {

Sides::Sides(const Site& site, const Component& component, const std::vector<Uplink>& uplink, const StandIns& stand_ins)
    : component_(component), uplink_(uplink), total_(site.heaviest.source_count()) {
    std::unordered_map<SwitchIndex, std::size_t> position;
    for (const auto s : component.order) {
        position.emplace(s, below_.size());
        below_.push_back(site.own[s]);
        if (s == component.querier) ++below_.back().routers;
    }
    for (const auto& [s, sources] : stand_ins.sending)
        if (const auto at = position.find(s); at != position.end()) below_[at->second].sources.add(sources);
    for (const auto& join : stand_ins.joins)
        if (const auto at = position.find(join.at); at != position.end()) below_[at->second].always.join(join.carriage);
    for (std::size_t i = component.order.size(); i-- > 1;)
        below_[position.at(uplink[component.order[i]].parent)].add(below_[i]);
    if (!below_.empty()) total_ = below_[0];
}

Component component_of(const Site& site, std::vector<SwitchIndex> order) {
    Component out;
    for (const auto s : order) out.queried = out.queried || site.switches[s]->multicast_router;
    for (const auto q : site.topology.queriers) {
        if (std::find(order.begin(), order.end(), q) == order.end()) continue;
        out.querier = q;
        out.queried = true;
        break;
    }
    out.order = std::move(order);
    return out;
}

}  // namespace mastline
