// SPDX-License-Identifier: Apache-2.0
#include "planner/network/flooding.hpp"

#include <algorithm>

namespace mastline {

namespace {

class Flood {
public:
    Flood(const Site& site, const Component& component, const std::vector<Uplink>& uplink,
          const Sides& sides)
        : site_(site), component_(component), uplink_(uplink) {
        for (std::size_t i = 1; i < component.order.size(); ++i)
            children_[uplink[component.order[i]].parent].push_back(component.order[i]);
        sides.for_each([&](const Direction& d, const SourceMask& behind, const Reach& ahead) {
            CarriageSet set(site.carriages.size());
            for (const auto c : site.rules.worst_groups(behind, ahead)) set.set(c);
            out_.along.emplace(std::pair(d.from, d.to), std::move(set));
        });
        for (CarriageIndex c = 0; c < site.carriages.size(); ++c)
            if (site.carriages[c].enters) entering_[*site.carriages[c].enters].push_back(c);
    }

    // Upwards first, then downwards: each direction after those that feed it.
    FloodLoads run() {
        const auto& order = component_.order;
        for (std::size_t i = order.size(); i-- > 1;)
            if (does_flood(order[i])) along(order[i], uplink_[order[i]].parent).add(arriving(order[i], kNone));
        for (const auto s : order) {
            if (!does_flood(s)) continue;
            spread_down(s);
            CarriageSet all = arriving(s, kNone);
            if (s != order[0]) all.add(along(uplink_[s].parent, s));
            out_.at.emplace(s, std::move(all));
        }
        return std::move(out_);
    }

private:
    bool does_flood(SwitchIndex s) const {
        return floods(*site_.switches[s], component_.queried);
    }
    CarriageSet& along(SwitchIndex from, SwitchIndex to) { return out_.along.at({from, to}); }

    // What enters at `s` or comes up from its children, `but` apart.
    CarriageSet arriving(SwitchIndex s, SwitchIndex but) {
        CarriageSet out(site_.carriages.size());
        for (const auto c : entering_[s]) out.set(c);
        for (const auto child : children_[s])
            if (child != but) out.add(along(child, s));
        return out;
    }

    void spread_down(SwitchIndex s) {
        for (const auto child : children_[s]) {
            CarriageSet down = arriving(s, child);
            if (s != component_.order[0]) down.add(along(uplink_[s].parent, s));
            along(s, child).add(down);
        }
    }

    const Site& site_;
    const Component& component_;
    const std::vector<Uplink>& uplink_;
    std::map<SwitchIndex, std::vector<SwitchIndex>> children_;
    std::map<SwitchIndex, std::vector<CarriageIndex>> entering_;
    FloodLoads out_;
};

}  // namespace

bool floods(const Switch& s, bool queried) {
    return !s.snooping || s.floods_unregistered || (!queried && s.floods_without_querier);
}

FloodLoads flood_loads(const Site& site, const Component& component,
                       const std::vector<Uplink>& uplink, const Sides& sides) {
    const bool any = std::any_of(component.order.begin(), component.order.end(), [&](SwitchIndex s) {
        return floods(*site.switches[s], component.queried);
    });
    if (!any) return {};
    return Flood(site, component, uplink, sides).run();
}

}  // namespace mastline
