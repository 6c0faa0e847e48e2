// SPDX-License-Identifier: Apache-2.0
#include "planner/network/failures.hpp"

#include <algorithm>

#include "planner/network/card_failures.hpp"
#include "planner/network/component.hpp"
#include "planner/network/failure_record.hpp"
#include "planner/network/reconverge.hpp"

namespace mastline {

namespace {

class Failures {
public:
    Failures(const Site& site, const Tree& tree, FailureRecord& record)
        : site_(site), tree_(tree), record_(record), hangers_(site.topology, apart_of(site, tree)),
          paths_(site.topology, tree, hangers_), whole_(component_of(site, tree.order)),
          base_(site.venue.switches.size()), work_(base_.size()), stamp_(base_.size(), 0),
          zones_(base_.size()), flooded_(base_.size(), 0), ports_may_rise_(base_.size(), false) {
        const Sides sides(site, whole_, tree.uplink);
        for (std::size_t i = 0; i < tree.order.size(); ++i) base_[tree.order[i]] = sides.below(i);
        total_ = sides.total();
        for (std::size_t z = 0; z < site.zone_at.size(); ++z)
            if (site.zone_at[z] != kNone && site.venue.zones[z].displays > 0)
                zones_[site.zone_at[z]].push_back(z);
        for (SwitchIndex s = 0; s < base_.size(); ++s)
            if (site.switches[s]->multicast_router) routers_.push_back(s);
        for (const auto* at : site.switches) floods_.push_back(floods(*at, whole_.queried));
        all_flood_ = std::find(floods_.begin(), floods_.end(), false) == floods_.end();
        if (std::find(floods_.begin(), floods_.end(), true) != floods_.end()) note_full(sides);
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

    void note_full(const Sides& sides) {
        const FloodLoads flood(site_, whole_, tree_.uplink, sides);
        full_.resize(2 * site_.venue.links.size(), SourceMask(site_.heaviest.source_count()));
        seen_.resize(full_.size(), 0);
        sides.for_each([&](const Direction& d, const SourceMask& behind, const Reach&) {
            if (flood.along(d).plain == site_.heaviest.total(behind, false)) full_[slot(d)] = behind;
        });
        const auto all = site_.heaviest.total(total_.sources, false);
        for (const auto& [s, rate] : flood.at()) ports_may_rise_[s] = !zones_[s].empty() && rate.plain < all;
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
        if (!same_querier || queried != whole_.queried) reckon_whole(component_of(site_, main_order(after)));
        else if (!after.moved.empty()) reckon_paths(after);
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
        if (component.order.size() < 2 && site_.own[component.order[0]].sources.empty()) return;
        const Sides sides(site_, component, paths_.uplink());
        const FloodLoads flood(site_, component, paths_.uplink(), sides);
        sides.for_each([&](const Direction& d, const SourceMask& behind, const Reach& ahead) {
            if (flood.empty()) raise(d, behind, ahead);
            else raise_flooded(record_, site_, d, behind, flood);
        });
        if (!flood.empty()) record_.flood_ports(flood.at());
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
            for (const auto& d : {Direction{up.link, up.parent, s}, Direction{up.link, s, up.parent}}) {
                const bool down = d.to == s;
                if (!floods_[d.from]) raise(d, down ? rest_.sources : work_[s].sources, down ? work_[s] : rest_);
                if (floods_[d.from] || floods_[d.to]) open_.push_back(d);
            }
        }
        while (!open_.empty()) {
            const auto d = open_.back();
            open_.pop_back();
            pass_on(d);
        }
    }

    // Follows what may have come over `d` anew, and reckons where it matters.
    void pass_on(const Direction& d) {
        if (seen_[slot(d)] == now_) return;
        seen_[slot(d)] = now_;
        if (floods_[d.from]) {
            const auto behind = behind_now(d);
            auto more = behind;
            more.remove(full_[slot(d)]);
            if (more.empty()) return;
            const auto rate = site_.heaviest.total(behind, site_.tagged(d.link));
            if (rate > record_.matters_above(d)) {
                if (!all_flood_) raise_around(d.from);
                else {
                    FloodFeeds feeds(site_);
                    feeds.enter(behind);
                    raise_fed(record_, site_, d, rate, behind, feeds);
                }
            }
        }
        if (ports_may_rise_[d.to]) raise_around(d.to);
        if (!floods_[d.to] || flooded_[d.to] == now_) return;
        const auto& uplink = paths_.uplink();
        const auto& up = uplink[d.to];
        if (up.parent != kNone && up.parent != d.from) open_.push_back({up.link, d.to, up.parent});
        for (const auto& n : site_.topology.neighbours(d.to))
            if (n.node != d.from && is_child(n, d.to)) open_.push_back({n.link, d.to, n.node});
    }

    SourceMask behind_now(const Direction& d) const {
        const bool up = paths_.uplink()[d.from].parent == d.to;
        const auto& below = below_now(up ? d.from : d.to).sources;
        if (up) return below;
        auto rest = work_[tree_.root].sources;
        rest.remove(below);
        return rest;
    }

    const Reach& below_now(SwitchIndex s) const { return stamp_[s] == now_ ? work_[s] : base_[s]; }
    bool is_child(const Neighbour& n, SwitchIndex parent) const {
        return paths_.uplink()[n.node].parent == parent && paths_.uplink()[n.node].link == n.link;
    }
    std::size_t slot(const Direction& d) const { return site_.topology.slot(d.link, d.from); }

    // Out of all switches that flood one into the other here.
    void raise_around(SwitchIndex s) {
        if (flooded_[s] == now_) return;
        const Component part{flooding_part(s), whole_.querier, whole_.queried};
        std::vector<Reach> below;
        for (const auto at : part.order) below.push_back(below_now(at));
        const Sides sides(part, paths_.uplink(), std::move(below), work_[tree_.root]);
        const FloodLoads flood(site_, part, paths_.uplink(), sides);
        sides.for_each([&](const Direction& d, const SourceMask& behind, const Reach&) {
            if (floods_[d.from]) raise_flooded(record_, site_, d, behind, flood);
        });
        record_.flood_ports(flood.at());
    }

    // Those that flood around `s` and their neighbours, parents first.
    std::vector<SwitchIndex> flooding_part(SwitchIndex s) {
        const auto& uplink = paths_.uplink();
        auto top = s;
        while (uplink[top].parent != kNone && floods_[uplink[top].parent]) top = uplink[top].parent;
        std::vector<SwitchIndex> order;
        if (uplink[top].parent != kNone) order.push_back(uplink[top].parent);
        order.push_back(top);
        for (std::size_t i = order.size() - 1; i < order.size(); ++i) {
            const auto at = order[i];
            if (!floods_[at]) continue;
            flooded_[at] = now_;
            for (const auto& n : site_.topology.neighbours(at))
                if (is_child(n, at)) order.push_back(n.node);
        }
        return order;
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
    std::vector<char> floods_;  // by switch, while what queried before queries
    bool all_flood_ = false;
    std::vector<std::uint32_t> flooded_;  // by switch: the failure in which it was last reckoned with
    std::vector<SourceMask> full_;  // by slot: all behind it where all that flows; else none
    std::vector<char> ports_may_rise_;  // by switch: it floods, yet not all comes to its displays
    std::vector<std::uint32_t> seen_;  // by slot: the failure in which it was last followed
    std::vector<Direction> open_;  // kept for its memory
};

}  // namespace

void add_spanning_failures(const Site& site, const Tree& tree, const Addressing& addressing, NetworkLoad& out) {
    FailureRecord record(site, addressing, out);
    Failures(site, tree, record).run();
    add_card_failures(site, tree, record);
    record.finish();
}

}  // namespace mastline
