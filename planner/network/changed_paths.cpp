// SPDX-License-Identifier: Apache-2.0
#include "planner/network/changed_paths.hpp"

#include <algorithm>

namespace mastline {

ChangedPaths::ChangedPaths(const Site& site, const Tree& tree, const Component& whole, const Hangers& hangers,
                           const std::vector<Uplink>& uplink, FailureRecord& record)
    : site_(site), tree_(tree), whole_(whole), hangers_(hangers), uplink_(uplink), record_(record),
      base_(site.venue.switches.size()), work_(base_.size()), stamp_(base_.size(), 0), flooded_(base_.size(), 0),
      ports_may_rise_(base_.size(), false) {
    const Sides sides(site, whole, tree.uplink);
    for (std::size_t i = 0; i < tree.order.size(); ++i) base_[tree.order[i]] = sides.below(i);
    total_ = sides.total();
    for (const auto* at : site.switches) floods_.push_back(floods(*at, whole.queried));
    all_flood_ = std::find(floods_.begin(), floods_.end(), false) == floods_.end();
    if (std::find(floods_.begin(), floods_.end(), true) != floods_.end()) note_full(sides);
}

void ChangedPaths::note_full(const Sides& sides) {
    const FloodLoads flood(site_, whole_, tree_.uplink, sides);
    full_.resize(2 * site_.venue.links.size(), SourceMask(site_.heaviest.source_count()));
    seen_.resize(full_.size(), 0);
    sides.for_each([&](const Direction& d, const SourceMask& behind, const Reach&) {
        if (flood.along(d).plain == site_.heaviest.total(behind, false)) full_[slot(d)] = behind;
    });
    const auto all = site_.heaviest.total(total_.sources, false);
    for (const auto& [s, rate] : flood.at()) ports_may_rise_[s] = site_.own[s].displays > 0 && rate.plain < all;
}

void ChangedPaths::begin() {
    ++now_;
    touched_.clear();
    entered_.clear();
}

// Copied from before the failure at the first touch.
Reach& ChangedPaths::now_below(SwitchIndex s) {
    if (stamp_[s] != now_) {
        stamp_[s] = now_;
        work_[s] = base_[s];
        touched_.push_back(s);
    }
    return work_[s];
}

void ChangedPaths::take_off(SwitchIndex top) {
    for (auto a = tree_.uplink[top].parent; a != kNone; a = tree_.uplink[a].parent) now_below(a).remove(base_[top]);
}

void ChangedPaths::put(const std::vector<SwitchIndex>& moved, SwitchIndex top) {
    for (const auto s : moved) {
        stamp_[s] = now_;
        touched_.push_back(s);
        work_[s] = site_.own[s];
        for (const auto h : hangers_.on(s)) work_[s].add(site_.own[h]);
        if (s == whole_.querier) ++work_[s].routers;
    }
    for (auto at = moved.rbegin(); at != moved.rend(); ++at) {
        const auto parent = uplink_[*at].parent;
        if (tree_.below(parent, top)) {
            work_[parent].add(work_[*at]);
            continue;
        }
        for (auto a = parent; a != kNone; a = tree_.uplink[a].parent) now_below(a).add(work_[*at]);
    }
}

void ChangedPaths::leave(SwitchIndex s, const SourceMask& sources) {
    for (auto a = s; a != kNone; a = uplink_[a].parent) now_below(a).sources.remove(sources);
}

void ChangedPaths::enter(SwitchIndex s, const SourceMask& sources) {
    for (auto a = s; a != kNone; a = uplink_[a].parent) now_below(a).sources.add(sources);
    entered_.push_back(s);
}

// From where it enters the way leads up and then down to `s`.
void ChangedPaths::join(SwitchIndex s, CarriageIndex carriage) {
    for (auto a = s; a != kNone; a = uplink_[a].parent) now_below(a).always.join(carriage);
    for (auto a = *site_.carriages[carriage].enters; a != kNone; a = uplink_[a].parent) now_below(a);
}

void ChangedPaths::raise() {
    for (const auto s : touched_)
        if (s != tree_.root) raise_link_above(s);
    // What a choice held back on the way to a flooding switch may enter at that switch now.
    for (const auto s : entered_) {
        if (!floods_[s]) continue;
        if (ports_may_rise_[s]) raise_around(s);
        open_out_of(s, kNone);
    }
    while (!open_.empty()) {
        const auto d = open_.back();
        open_.pop_back();
        pass_on(d);
    }
}

void ChangedPaths::raise_link_above(SwitchIndex s) {
    const auto& up = uplink_[s];
    rest_ = work_[tree_.root];
    rest_.remove(work_[s]);
    for (const auto& d : {Direction{up.link, up.parent, s}, Direction{up.link, s, up.parent}}) {
        const bool down = d.to == s;
        if ((!floods_[d.from] || !full_[slot(d)].empty()) && !may_rise(s, down)) continue;
        if (!floods_[d.from])
            raise_worst_mix(record_, site_, d, down ? rest_.sources : work_[s].sources, down ? work_[s] : rest_);
        if (floods_[d.from] || floods_[d.to]) open_.push_back(d);
    }
}

// More is behind than was, or more is wanted ahead. REQUIRES: rest_ is that of `s`
bool ChangedPaths::may_rise(SwitchIndex s, bool down) const {
    const auto &was = base_[s], &now = work_[s], &all = work_[tree_.root];
    if (uplink_[s].link != tree_.uplink[s].link || now.always != was.always || all.always != total_.always) return true;
    if (down) return rest_.sources.meets(was.sources) || now.displays > was.displays || now.routers > was.routers;
    return !was.sources.has_all_of(now.sources) || rest_.displays > total_.displays - was.displays ||
           rest_.routers > total_.routers - was.routers;
}

void ChangedPaths::open_out_of(SwitchIndex s, SwitchIndex but) {
    const auto& up = uplink_[s];
    if (up.parent != kNone && up.parent != but) open_.push_back({up.link, s, up.parent});
    for (const auto& n : site_.topology.neighbours(s))
        if (n.node != but && is_child(n, s)) open_.push_back({n.link, s, n.node});
}

// Follows what may have come over `d` anew, and reckons where it matters.
void ChangedPaths::pass_on(const Direction& d) {
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
            else raise_flooded_whole(record_, site_, d, rate, behind);
        }
    }
    if (came_down_before(d)) return;
    if (ports_may_rise_[d.to]) raise_around(d.to);
    if (floods_[d.to] && flooded_[d.to] != now_) open_out_of(d.to, d.from);
}

// All that can come down over `d` came to the same switch from above before.
bool ChangedPaths::came_down_before(const Direction& d) const {
    if (full_.empty() || uplink_[d.to].link != d.link || uplink_[d.to].parent != d.from) return false;
    const auto& before = tree_.uplink[d.to];
    return before.link != kNone && full_[slot({before.link, before.parent, d.to})].has_all_of(behind_now(d));
}

SourceMask ChangedPaths::behind_now(const Direction& d) const {
    const bool up = uplink_[d.from].parent == d.to;
    const auto& below = below_now(up ? d.from : d.to).sources;
    if (up) return below;
    auto rest = work_[tree_.root].sources;
    rest.remove(below);
    return rest;
}

// Out of all switches that flood one into the other here.
void ChangedPaths::raise_around(SwitchIndex s) {
    if (flooded_[s] == now_) return;
    const Component part{flooding_part(s), whole_.querier, whole_.queried};
    std::vector<Reach> below;
    for (const auto at : part.order) below.push_back(below_now(at));
    const Sides sides(part, uplink_, std::move(below), work_[tree_.root]);
    const FloodLoads flood(site_, part, uplink_, sides);
    sides.for_each([&](const Direction& d, const SourceMask& behind, const Reach&) {
        if (floods_[d.from]) raise_flooded(record_, site_, d, behind, flood);
    });
    record_.flood_ports(flood.at());
}

// Those that flood around `s` and their neighbours, parents first.
std::vector<SwitchIndex> ChangedPaths::flooding_part(SwitchIndex s) {
    auto top = s;
    while (uplink_[top].parent != kNone && floods_[uplink_[top].parent]) top = uplink_[top].parent;
    std::vector<SwitchIndex> order;
    if (uplink_[top].parent != kNone) order.push_back(uplink_[top].parent);
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

}  // namespace mastline
