// SPDX-License-Identifier: Apache-2.0
#include "planner/network/routed_failures.hpp"

#include <algorithm>
#include <memory>
#include <set>
#include <span>
#include <tuple>

#include "planner/network/crowds_after.hpp"
#include "planner/network/failing_tree.hpp"
#include "planner/network/routed_card_failures.hpp"
#include "planner/network/routed_mix.hpp"
#include "planner/network/routed_stand_ins.hpp"
#include "planner/network/routed_ways.hpp"

namespace mastline {

namespace {

class RoutedFailures {
public:
    RoutedFailures(const Site& site, const RoutedTrees& routed, FailureRecord& record)
        : site_(site), routed_(routed), record_(record), crowds_(site, routed, trees_), mix_(site), ways_(routed),
          standbys_(standbys_of(site, ways_)), seconds_(seconds_of(site, ways_)), brings_(routed.brings), ladders_(routed.ladders), hangs_by_(site.venue.links.size(), kNone), zones_(site.venue.switches.size()) {
        for (std::size_t t = 0; t < routed.trees.size(); ++t)
            trees_.push_back(std::make_unique<FailingTree>(routed, site, t));
        for (std::size_t z = 0; z < site.zone_at.size(); ++z)
            if (site.zone_at[z] != kNone && site.venue.zones[z].displays > 0)
                zones_[site.zone_at[z]].push_back(z);
        for (SwitchIndex s = 0; s < zones_.size(); ++s) floods_.push_back(floods_to_displays(site, s));
        for (SwitchIndex s = 0; s < zones_.size(); ++s)
            if (routed.hangers->hangs(s)) hangs_by_[site.topology.neighbours(s)[0].link] = s;
    }

    void run() {
        const auto& links = site_.venue.links;
        for (LinkIndex l = 0; l < links.size(); ++l) {
            if (links[l].members == 1) {
                record_.begin("link " + links[l].name);
                reckon({.link = l});
            } else if (!links[l].keeps_cost) {  // otherwise the ways stay, with less room on it
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
    void reckon(const NetworkLoss& loss) {
        if (const auto s = loss.node != kNone ? loss.node : hangs_by_[loss.link];
            s != kNone && routed_.hangers->hangs(s))
            return reckon_hanging(s, loss);
        const auto at = std::find(routed_.sources.begin(), routed_.sources.end(), loss.node);
        lost_tree_ = static_cast<std::size_t>(at - routed_.sources.begin());
        bool moved = false;
        for (std::size_t t = 0; t < trees_.size(); ++t)
            if (t != lost_tree_) moved = trees_[t]->fail(loss) || moved;
        if (moved || !standbys_.empty() || !seconds_.empty())
            for (std::size_t t = 0; t < trees_.size(); ++t)
                if (t != lost_tree_) trees_[t]->settle();
        const auto taken_over = take_over();
        report_lost(loss.node, taken_over);
        const auto joined = join_seconds();
        if (moved || !taken_over.empty() || !joined.empty()) {
            const auto fuller = fuller_directions(taken_over, joined);
            raise_all(fuller);
            flood_ports(fuller, taken_over);
        }
        cut_off(loss.node);
        if (!taken_over.empty()) brings_ = routed_.brings, ladders_ = routed_.ladders;
    }

    // Cards that wait send where they no longer hear the first.
    std::vector<const RoutedStandby*> take_over() {
        std::vector<const RoutedStandby*> out;
        for (const auto& s : standbys_) {
            if (s.to == lost_tree_ || (s.from != lost_tree_ && trees_[s.from]->reaches(routed_.sources[s.to]))) continue;
            out.push_back(&s);
            brings_[s.to].add(s.sources);
        }
        for (const auto* s : out) ladders_[s->to] = site_.heaviest.ladder(brings_[s->to]);
        return out;
    }

    // What is joined all the time comes as its second copy where the first does not.
    std::vector<const RoutedSecond*> join_seconds() {
        std::vector<const RoutedSecond*> out;
        for (const auto& s : seconds_) {
            if (s.to == lost_tree_ || !trees_[s.to]->reaches(s.at) || (s.from != lost_tree_ && trees_[s.from]->reaches(s.at)))
                continue;
            out.push_back(&s);
            trees_[s.to]->join(s.at, s.carriage);
        }
        return out;
    }

    void cut_off(SwitchIndex lost) {
        std::set<std::size_t> cut;
        if (lost != kNone) cut.insert(zones_[lost].begin(), zones_[lost].end());
        for (std::size_t t = 0; t < trees_.size(); ++t) {
            if (t == lost_tree_ || brings_[t].empty()) continue;  // nothing of it is missed
            for (const auto& island : trees_[t]->islands())
                for (const auto s : island)
                    if (!zones_[s].empty() && misses_some_of(t, s)) cut.insert(zones_[s].begin(), zones_[s].end());
        }
        for (const auto zone : cut) record_.cut_off(zone);
    }

    // Of what this tree, which does not come to `s`, would bring.
    bool misses_some_of(std::size_t tree, SwitchIndex s) const {
        if (standbys_.empty()) return true;
        SourceMask missing = brings_[tree];
        for (std::size_t t = 0; t < trees_.size(); ++t)
            if (t != lost_tree_ && trees_[t]->reaches(s)) missing.remove(brings_[t]);
        return !missing.empty();
    }

    // Without its only link, or itself, a switch that hangs is cut off from all that reached it, and nothing else
    // happens; where its bundle becomes dearer, nothing at all.
    void reckon_hanging(SwitchIndex s, const NetworkLoss& loss) {
        bool cut = loss.node != kNone;
        for (std::size_t t = 0; t < trees_.size() && !cut && loss.new_cost == kUnreached; ++t)
            cut = !routed_.brings[t].empty() && routed_.trees[t].uplink[s].link == loss.link;
        if (!cut) return;
        for (const auto zone : zones_[s]) record_.cut_off(zone);
    }

    // What a tree brings more of over a direction of a link.
    struct Fuller {
        Direction d;
        std::size_t tree = 0;
        FailingTree::Gain gain;
    };

    // Those of one direction stand together.
    std::vector<Fuller> fuller_directions(const std::vector<const RoutedStandby*>& taken_over,
                                          const std::vector<const RoutedSecond*>& joined) {
        std::vector<Fuller> out;
        for (std::size_t t = 0; t < trees_.size(); ++t) {
            if (t == lost_tree_) continue;
            const auto& tree = *trees_[t];
            for (const auto s : tree.touched())
                if (const auto gain = tree.gain(s))
                    out.push_back({{tree.uplink(s).link, tree.uplink(s).parent, s}, t, *gain});
        }
        for (const auto* s : taken_over) add_taken_over(*s, out);
        for (const auto* s : joined)
            FailingTree::for_each_step(trees_[s->to]->uplinks(), s->at, [&](SwitchIndex to, const Uplink& up) {
                out.push_back({{up.link, up.parent, to}, s->to, {0, &trees_[s->to]->below(to).always, false}});
            });
        std::sort(out.begin(), out.end(), [](const Fuller& a, const Fuller& b) {
            return std::tie(a.d.link, a.d.from, a.tree) < std::tie(b.d.link, b.d.from, b.tree);
        });
        return out;
    }

    // Where the streams come another way than from the first sender before the failure.
    void add_taken_over(const RoutedStandby& standby, std::vector<Fuller>& out) {
        const auto& tree = *trees_[standby.to];
        const auto add = [&](SwitchIndex s) {
            const auto& up = tree.uplink(s);
            if (up.parent != kNone && tree.reaches(s) && !tree.below(s).empty())
                out.push_back({{up.link, up.parent, s}, standby.to, {tree.below(s).displays, &tree.below(s).always, true}});
        };
        for (const auto& d : ways_.reached_otherwise(standby.from, standby.to)) add(d.to);
        for (const auto s : tree.touched()) add(s);
        if (standby.from == lost_tree_) return;
        for (const auto s : trees_[standby.from]->touched()) add(s);
    }

    void raise_all(const std::vector<Fuller>& fuller) {
        std::vector<Direction> apart;
        for (auto at = fuller.begin(); at != fuller.end();) {
            const auto first = at;
            while (at != fuller.end() && at->d.link == first->d.link && at->d.from == first->d.from) ++at;
            const auto& d = first->d;
            if (usual_and({first, at}) <= record_.matters_above(d)) continue;
            const auto callers = callers_along(d);
            if (callers.empty() || apart_at_most(callers, d) <= record_.matters_above(d)) continue;
            if (are_alike(callers, d.to)) raise(d, callers, one_crowd(callers, d.to));
            else apart.push_back(d);
        }
        if (apart.empty()) return;
        const auto& crowds = crowds_.at(apart, lost_tree_);
        for (std::size_t i = 0; i < apart.size(); ++i) {
            raise(apart[i], callers_along(apart[i]), crowds[i]);
        }
    }

    // A switch that floods brings all that comes to it to its displays. What hangs on one link gets no more than before.
    void flood_ports(const std::vector<Fuller>& fuller, const std::vector<const RoutedStandby*>& taken_over) {
        std::set<SwitchIndex> at;
        for (const auto& f : fuller)
            if (floods_[f.d.to] && !routed_.hangers->hangs(f.d.to)) at.insert(f.d.to);
        for (const auto* s : taken_over)
            if (const auto to = routed_.sources[s->to]; floods_[to]) at.insert(to);
        FloodedAt flooded;
        std::vector<Direction> apart;
        for (const auto s : at) {
            flooded[s] = entering_of(site_, routed_, s, brings_);
            for (const auto& n : site_.topology.neighbours(s)) {
                const Direction d{n.link, n.node, s};
                const auto callers = callers_along(d);
                if (callers.empty()) continue;
                if (are_alike(callers, s)) flooded[s] += rate_of(mix_, callers, one_crowd(callers, s));
                else apart.push_back(d);
            }
        }
        if (!apart.empty()) {
            const auto& crowds = crowds_.at(apart, lost_tree_);
            for (std::size_t i = 0; i < apart.size(); ++i)
                flooded[apart[i].to] += rate_of(mix_, callers_along(apart[i]), crowds[i]);
        }
        if (!flooded.empty()) record_.flood_ports(flooded);
    }

    std::vector<RoutedCaller> callers_along(const Direction& d) const {
        std::vector<RoutedCaller> out;
        for (std::size_t t = 0; t < trees_.size(); ++t) {
            if (t == lost_tree_) continue;
            const auto& up = trees_[t]->uplink(d.to);
            const auto& below = trees_[t]->below(d.to);
            if (up.link == d.link && up.parent == d.from && trees_[t]->reaches(d.to) && !below.empty())
                out.push_back({t, &brings_[t], ladders_[t].get(), &below.always});
        }
        return out;
    }

    // What flowed before, and the heaviest that those displays can choose which trees reach in addition:
    // never less than what flows, since each of them adds at most one stream. Most failures cannot be
    // the worst by this alone. REQUIRES: all of one direction
    BitRate usual_and(std::span<const Fuller> fuller) const {
        const auto& d = fuller.front().d;
        const bool tagged = site_.tagged(d.link);
        const auto zapping = displays_of(fuller);
        BitRate sum = record_.usual(d);
        for (const auto& f : fuller) {
            const auto choices = site_.rules.choices(f.gain.displays) +
                                 (f.gain.anew ? site_.rules.choices(zapping) - zapping : 0);
            sum += site_.heaviest.sum(*ladders_[f.tree], brings_[f.tree], f.gain.joined ? *f.gain.joined : JoinCounts(), choices,
                                      tagged);
        }
        return sum;
    }

    // Beyond one direction, at most.
    std::int64_t displays_of(std::span<const Fuller> fuller) const {
        const auto slot = site_.topology.slot(fuller.front().d.link, fuller.front().d.from);
        std::int64_t out = routed_.along[slot].all_displays();
        for (const auto& f : fuller) out += f.gain.displays;
        return out;
    }

    // What flows if no two trees shared a display: cheap, and mostly no more than another failure
    // brings already.
    BitRate apart_at_most(const std::vector<RoutedCaller>& callers, const Direction& d) const {
        std::int64_t all = 0;
        for (const auto& c : callers) all += trees_[c.tree]->below(d.to).displays;
        const auto flowing_on = site_.rules.choices(all) - all;
        BitRate sum;
        for (const auto& c : callers)
            sum += site_.heaviest.sum(*c.ladder, *c.sources, *c.always, trees_[c.tree]->below(d.to).displays + flowing_on,
                                      site_.tagged(d.link));
        return sum;
    }

    // Every tree reaches the same displays.
    bool are_alike(const std::vector<RoutedCaller>& callers, SwitchIndex to) const {
        return std::all_of(callers.begin(), callers.end(), [&](const RoutedCaller& c) {
            return trees_[c.tree]->below(to).where == trees_[callers[0].tree]->below(to).where;
        });
    }

    Crowds one_crowd(const std::vector<RoutedCaller>& callers, SwitchIndex to) const {
        TreeSet all(trees_.size());
        for (const auto& c : callers) all.set(c.tree);
        Crowds out;
        out.add(all, trees_[callers[0].tree]->below(to).displays);
        return out;
    }

    void raise(const Direction& d, const std::vector<RoutedCaller>& callers, const Crowds& crowds) {
        raise_routed_mix(record_, site_, mix_, d, callers, crowds);
    }

    void report_lost(SwitchIndex node, const std::vector<const RoutedStandby*>& taken_over) {
        if (node == kNone) return;
        auto lost = site_.own[node].sources;
        for (const auto* s : taken_over) lost.remove(s->sources);
        if (lost.empty()) return;
        std::vector<std::size_t> carriages;
        for (CarriageIndex c = 0; c < site_.carriages.size(); ++c)
            if (site_.carriages[c].enters == node && lost.has(site_.heaviest.source_of(c))) carriages.push_back(c);
        record_.lost(std::move(carriages));
    }

    const Site& site_;
    const RoutedTrees& routed_;
    FailureRecord& record_;
    std::vector<std::unique_ptr<FailingTree>> trees_;
    CrowdsAfter crowds_;
    RoutedMix mix_;
    RoutedWays ways_;
    std::vector<RoutedStandby> standbys_;
    std::vector<RoutedSecond> seconds_;
    std::vector<SourceMask> brings_;  // by tree, in the failure at hand
    std::vector<std::shared_ptr<const Heaviest::Ladder>> ladders_;
    std::size_t lost_tree_ = 0;  // of the failure at hand; past the end: none
    std::vector<SwitchIndex> hangs_by_;            // by link: what hangs by it alone
    std::vector<std::vector<std::size_t>> zones_;  // by switch: those with displays
    std::vector<char> floods_;                     // by switch: to its displays
};

}  // namespace

void raise_routed_mix(FailureRecord& record, const Site& site, RoutedMix& mix, const Direction& d,
                      const std::vector<RoutedCaller>& callers, const Crowds& crowds) {
    mix.begin(callers, crowds);
    const bool tagged = site.tagged(d.link);
    if (mix.at_most(tagged) <= record.matters_above(d)) return;
    const auto& choices = mix.choices();
    const auto rate = mix.sum(choices, tagged);
    record.raise(d, rate, [&] {
        return [&site, tagged, shares = shares_of(callers, choices)] { return varying_load(site, groups_of(site, shares), tagged); };
    });
    record.raise_member(
        d, rate, [&] { return flows_of(site, callers); },
        [&](const std::vector<CarriageIndex>& flows) { return routed_mix_among(site, callers, crowds, flows); });
}

void add_routed_failures(const Site& site, const RoutedTrees& routed, const Addressing& addressing,
                         NetworkLoad& out) {
    FailureRecord record(site, addressing, out);
    RoutedFailures(site, routed, record).run();
    add_routed_card_failures(site, routed, record);
    record.finish();
}

}  // namespace mastline
