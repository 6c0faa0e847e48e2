// SPDX-License-Identifier: Apache-2.0
#include "planner/network/failures.hpp"

#include <algorithm>
#include <set>

#include "planner/network/changed_paths.hpp"
#include "planner/network/component.hpp"
#include "planner/network/failure_record.hpp"
#include "planner/network/reconverge.hpp"
#include "planner/network/stand_ins.hpp"
#include "planner/network/take_over.hpp"

namespace mastline {

namespace {

class Failures {
public:
    Failures(const Site& site, const Tree& tree, FailureRecord& record)
        : site_(site), tree_(tree), record_(record), hangers_(site.topology, apart_of(site, tree)),
          paths_(site.topology, tree, hangers_), whole_(component_of(site, tree.order)),
          changed_(site, tree, whole_, hangers_, paths_.uplink(), record), stand_ins_(site),
          zones_(site.venue.switches.size()) {
        for (std::size_t z = 0; z < site.zone_at.size(); ++z)
            if (site.zone_at[z] != kNone && site.venue.zones[z].displays > 0)
                zones_[site.zone_at[z]].push_back(z);
        for (SwitchIndex s = 0; s < zones_.size(); ++s)
            if (site.switches[s]->multicast_router) routers_.push_back(s);
    }

    void run() {
        const auto& links = site_.venue.links;
        for (LinkIndex l = 0; l < links.size(); ++l) {
            if (links[l].members == 1) {
                record_.begin("link " + links[l].name);
                reckon({.link = l});
            } else if (!links[l].keeps_cost) {  // otherwise the tree stays, with less room on it
                record_.begin("member of bundle " + links[l].name);
                reckon({.link = l, .new_cost = cost_with_one_less(links[l])});
            }
        }
        for (const auto s : site_.numbers) {
            record_.begin("switch " + site_.switches[s]->name);
            reckon({.node = s});
        }
        paths_.restore();
        for_each_take_over(site_, [this](const TakeOver& t) {
            record_.begin(t.failure);
            reckon(t);
        });
    }

private:
    // Who queries is asked of each by itself.
    static std::vector<char> apart_of(const Site& site, const Tree& tree) {
        std::vector<char> out;
        for (const auto* s : site.switches) out.push_back(s->querier || s->multicast_router);
        out[tree.root] = true;
        return out;
    }

    // Streams that now come from elsewhere fill the way from there; the tree stays.
    void reckon(const TakeOver& t) {
        changed_.begin();
        std::set<SwitchIndex> leaving;
        t.gone.for_each([&](std::size_t source) { leaving.insert(site_.places[source].enters); });
        for (const auto s : leaving) changed_.leave(s, t.gone);
        for (const auto& m : t.moves) changed_.enter(m.to, m.sources);
        for (const auto& join : t.joins) changed_.join(join.at, join.carriage);
        changed_.raise();
    }

    void reckon(const NetworkLoss& loss) {
        const AfterLoss after = paths_.after(loss);
        if (after.top == kNone) return;
        const StandIns stand_ins = stand_ins_.of(loss, after);
        reckon_main(loss, after, stand_ins);
        SourceMask sent = changed_.sources();
        if (loss.node != kNone) {
            sent.remove(site_.own[loss.node].sources);
            for (const auto z : zones_[loss.node]) record_.cut_off(z);
        }
        for (const auto& [s, sources] : stand_ins.sending) sent.add(sources);
        SourceMask lost = loss.node != kNone ? site_.own[loss.node].sources
                                             : SourceMask(site_.heaviest.source_count());
        for (const auto& island : after.islands) reckon_island(island, sent, after, stand_ins, lost);
        for (const auto& [s, sources] : stand_ins.sending)
            if (after.old_parent == kNone || !is_lost(s, loss, after)) lost.remove(sources);
        report_lost(lost);
    }

    // The part that still has the root. What only loses displays and sources carries no more than
    // before; so it matters only where something moved in, or where no querier is left.
    void reckon_main(const NetworkLoss& loss, const AfterLoss& after, const StandIns& stand_ins) {
        if (after.old_parent == kNone) return;
        const bool same_querier =
            whole_.querier == kNone || !is_lost(whole_.querier, loss, after);
        const bool queried = (whole_.querier != kNone && same_querier) || keeps_router(loss, after);
        if (!same_querier || queried != whole_.queried)
            return reckon_whole(component_of(site_, main_order(after)), stand_ins);
        if (after.moved.empty() && stand_ins.empty()) return;
        changed_.begin();
        changed_.take_off(after.top);
        changed_.put(after.moved, after.top);
        for (const auto& [s, sources] : stand_ins.sending)
            if (!is_lost(s, loss, after)) changed_.enter(s, sources);
        for (const auto& join : stand_ins.joins)
            if (!is_lost(join.at, loss, after)) changed_.join(join.at, join.carriage);
        changed_.raise();
    }

    // To the main part.
    bool is_lost(SwitchIndex s, const NetworkLoss& loss, const AfterLoss& after) const {
        if (!tree_.below(s, after.top)) return false;
        const auto carried = hangers_.hangs(s) ? tree_.uplink[s].parent : s;
        return s == loss.node ||
               std::find(after.moved.begin(), after.moved.end(), carried) == after.moved.end();
    }

    bool keeps_router(const NetworkLoss& loss, const AfterLoss& after) const {
        return std::any_of(routers_.begin(), routers_.end(),
                           [&](SwitchIndex r) { return !is_lost(r, loss, after); });
    }

    std::vector<SwitchIndex> main_order(const AfterLoss& after) const {
        std::vector<SwitchIndex> order;
        for (const auto s : tree_.order)
            if (!tree_.below(s, after.top)) order.push_back(s);
        for (const auto s : after.moved) {
            order.push_back(s);
            order.insert(order.end(), hangers_.on(s).begin(), hangers_.on(s).end());
        }
        return order;
    }

    void reckon_whole(const Component& component, const StandIns& stand_ins) {
        if (component.order.size() < 2 && site_.own[component.order[0]].sources.empty() && stand_ins.empty()) return;
        const Sides sides(site_, component, paths_.uplink(), stand_ins);
        const FloodLoads flood(site_, component, paths_.uplink(), sides);
        sides.for_each([&](const Direction& d, const SourceMask& behind, const Reach& ahead) {
            if (flood.empty()) raise_worst_mix(record_, site_, d, behind, ahead);
            else raise_flooded(record_, site_, d, behind, flood);
        });
        if (!flood.empty()) record_.flood_ports(flood.at());
    }

    void reckon_island(const std::vector<SwitchIndex>& island, const SourceMask& sent, const AfterLoss& after,
                       const StandIns& stand_ins, SourceMask& lost) {
        reckon_whole(component_of(site_, island), stand_ins);
        SourceMask missing = sent;
        for (const auto s : island) {
            missing.remove(site_.own[s].sources);
            if (const auto at = stand_ins.sending.find(s); at != stand_ins.sending.end()) missing.remove(at->second);
            if (after.old_parent != kNone) lost.add(site_.own[s].sources);
        }
        if (missing.empty()) return;
        for (const auto s : island)
            for (const auto z : zones_[s]) record_.cut_off(z);
    }

    void report_lost(const SourceMask& lost) {
        if (lost.empty()) return;
        std::vector<std::size_t> carriages;
        for (CarriageIndex c = 0; c < site_.carriages.size(); ++c)
            if (site_.heaviest.source_of(c) != kNone && lost.has(site_.heaviest.source_of(c)))
                carriages.push_back(c);
        record_.lost(std::move(carriages));
    }

    const Site& site_;
    const Tree& tree_;
    FailureRecord& record_;
    Hangers hangers_;
    Reconvergence paths_;
    Component whole_;
    ChangedPaths changed_;
    StandInsAfter stand_ins_;
    std::vector<std::vector<std::size_t>> zones_;  // by switch
    std::vector<SwitchIndex> routers_;  // where multicast routers are
};

}  // namespace

void add_spanning_failures(const Site& site, const Tree& tree, const Addressing& addressing, NetworkLoad& out) {
    FailureRecord record(site, addressing, out);
    Failures(site, tree, record).run();
    record.finish();
}

}  // namespace mastline
