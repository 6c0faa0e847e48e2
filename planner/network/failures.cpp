// SPDX-License-Identifier: Apache-2.0
#include "planner/network/failures.hpp"

#include <algorithm>
#include <limits>

#include "planner/network/card_failures.hpp"
#include "planner/network/component.hpp"
#include "planner/network/failure_record.hpp"
#include "planner/network/flooding.hpp"
#include "planner/network/reconverge.hpp"

namespace mastline {

namespace {

class Failures {
public:
    Failures(const Site& site, const Tree& tree, FailureRecord& record)
        : site_(site), tree_(tree), record_(record), hangers_(site.topology, apart_of(site, tree)),
          paths_(site.topology, tree, hangers_), whole_(component_of(site, tree.order)),
          base_(site.venue.switches.size()), work_(base_.size()), stamp_(base_.size(), 0), zones_(base_.size()) {
        const Sides sides(site, whole_, tree.uplink);
        for (std::size_t i = 0; i < tree.order.size(); ++i) base_[tree.order[i]] = sides.below(i);
        total_ = sides.total();
        for (std::size_t z = 0; z < site.zone_at.size(); ++z)
            if (site.zone_at[z] != kNone && site.venue.zones[z].displays > 0)
                zones_[site.zone_at[z]].push_back(z);
        for (SwitchIndex s = 0; s < base_.size(); ++s)
            if (site.switches[s]->multicast_router) routers_.push_back(s);
        always_floods_ = std::any_of(site.venue.switches.begin(), site.venue.switches.end(),
                                     [](const Switch& s) { return floods(s, true); });
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
    }

private:
    // Who queries is asked of each by itself.
    static std::vector<char> apart_of(const Site& site, const Tree& tree) {
        std::vector<char> out;
        for (const auto* s : site.switches) out.push_back(s->querier || s->multicast_router);
        out[tree.root] = true;
        return out;
    }

    void reckon(const NetworkLoss& loss) {
        const AfterLoss after = paths_.after(loss);
        if (after.top == kNone) return;
        reckon_main(loss, after);
        SourceMask sent = total_.sources;
        if (loss.node != kNone) {
            sent.remove(site_.own[loss.node].sources);
            for (const auto z : zones_[loss.node]) record_.cut_off(z);
        }
        SourceMask lost = loss.node != kNone ? site_.own[loss.node].sources
                                             : SourceMask(site_.heaviest.source_count());
        for (const auto& island : after.islands) reckon_island(island, sent, after, lost);
        report_lost(lost);
    }

    // The part that still has the root. What only loses displays and sources carries no more than
    // before; so it matters only where something moved in, or where no querier is left.
    void reckon_main(const NetworkLoss& loss, const AfterLoss& after) {
        if (after.old_parent == kNone) return;
        const bool same_querier =
            whole_.querier == kNone || !is_lost(whole_.querier, loss, after);
        const bool queried = (whole_.querier != kNone && same_querier) || keeps_router(loss, after);
        if (same_querier && queried == whole_.queried && after.moved.empty()) return;
        if (!same_querier || !queried || always_floods_) {
            reckon_whole(component_of(site_, main_order(after)));
            return;
        }
        reckon_paths(after);
    }

    bool is_lost(SwitchIndex s, const NetworkLoss& loss, const AfterLoss& after) const {
        if (!tree_.below(s, after.top)) return false;
        return s == loss.node ||
               std::find(after.moved.begin(), after.moved.end(), s) == after.moved.end();
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

    void reckon_whole(const Component& component) {
        if (component.order.size() < 2) return;
        const Sides sides(site_, component, paths_.uplink());
        const FloodLoads flood(site_, component, paths_.uplink(), sides);
        sides.for_each([&](const Direction& d, const SourceMask& behind, const Reach& ahead) {
            if (flood.empty()) raise(d, behind, ahead);
            else raise_flooded(d, behind, flood);
        });
    }

    void raise_flooded(const Direction& d, const SourceMask& behind, const FloodLoads& flood) {
        const auto rate = flood.along(d).on(site_.tagged(d.link));
        if (rate <= record_.matters_above(d)) return;
        const auto feeds = flood.feeds(d);
        record_.raise(d, rate, [&] { return [&site = site_, feeds] { return feeds.all(site); }; });
        record_.raise_member(
            d, rate, [&] { return site_.heaviest.pick(behind, {}, std::numeric_limits<std::int64_t>::max()); },
            [&](const std::vector<CarriageIndex>& flows) { return feeds.among(site_, flows); });
    }

    // What lies below `s` now; copied from before the failure at the first touch.
    Reach& now_below(SwitchIndex s) {
        if (stamp_[s] != now_) {
            stamp_[s] = now_;
            work_[s] = base_[s];
            touched_.push_back(s);
        }
        return work_[s];
    }

    // Only the paths from where the region hung and from where its parts hang now.
    void reckon_paths(const AfterLoss& after) {
        ++now_;
        touched_.clear();
        for (auto a = after.old_parent; a != kNone; a = tree_.uplink[a].parent)
            now_below(a).remove(base_[after.top]);
        for (const auto s : after.moved) {
            stamp_[s] = now_;
            touched_.push_back(s);
            work_[s] = site_.own[s];
            for (const auto h : hangers_.on(s)) work_[s].add(site_.own[h]);
            if (s == whole_.querier) ++work_[s].routers;
        }
        const auto& uplink = paths_.uplink();
        for (auto at = after.moved.rbegin(); at != after.moved.rend(); ++at) {
            const auto parent = uplink[*at].parent;
            if (tree_.below(parent, after.top)) {
                work_[parent].add(work_[*at]);
                continue;
            }
            for (auto a = parent; a != kNone; a = tree_.uplink[a].parent)
                now_below(a).add(work_[*at]);
        }
        raise_touched();
    }

    void raise_touched() {
        const Reach& total = work_[tree_.root];
        for (const auto s : touched_) {
            if (s == tree_.root) continue;
            const auto& up = paths_.uplink()[s];
            rest_ = total;
            rest_.remove(work_[s]);
            raise({up.link, up.parent, s}, rest_.sources, work_[s]);
            raise({up.link, s, up.parent}, work_[s].sources, rest_);
        }
    }

    void raise(const Direction& d, const SourceMask& behind, const Reach& ahead) {
        raise_worst_mix(record_, site_, d, behind, ahead);
    }

    void reckon_island(const std::vector<SwitchIndex>& island, const SourceMask& sent,
                       const AfterLoss& after, SourceMask& lost) {
        reckon_whole(component_of(site_, island));
        SourceMask missing = sent;
        for (const auto s : island) {
            missing.remove(site_.own[s].sources);
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
    std::vector<Reach> base_;  // by switch: what lies below it, nothing failed
    Reach total_;
    std::vector<Reach> work_;
    Reach rest_;  // kept for its memory
    std::vector<std::uint32_t> stamp_;
    std::vector<SwitchIndex> touched_;
    std::uint32_t now_ = 0;
    std::vector<std::vector<std::size_t>> zones_;  // by switch
    std::vector<SwitchIndex> routers_;  // where multicast routers are
    bool always_floods_ = false;
};

}  // namespace

void add_spanning_failures(const Site& site, const Tree& tree, const Addressing& addressing, NetworkLoad& out) {
    FailureRecord record(site, addressing, out);
    Failures(site, tree, record).run();
    add_card_failures(site, tree, record);
    record.finish();
}

}  // namespace mastline
