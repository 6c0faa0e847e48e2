// SPDX-License-Identifier: Apache-2.0
#include "planner/network/routed_failures.hpp"

#include <algorithm>
#include <memory>
#include <set>

#include "planner/network/failure_record.hpp"
#include "planner/network/reconverge.hpp"

namespace mastline {

namespace {

// What lies below a switch of one tree. `where` is a sum of marks of the switches with displays:
// two trees with the same sum have the same displays there.
struct Below {
    std::int64_t displays = 0;
    std::uint64_t where = 0;
    JoinCounts always;

    void add(const Below& other) {
        displays += other.displays;
        where += other.where;
        always.add(other.always);
    }
    void remove(const Below& other) {
        displays -= other.displays;
        where -= other.where;
        always.remove(other.always);
    }
};

// 64 bits that look random (the finalizer of SplitMix64), so that sums differ where sets do.
std::uint64_t mark_of(SwitchIndex s) {
    std::uint64_t z = (std::uint64_t{s} + 1) * 0x9E3779B97F4A7C15ULL;
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9ULL;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBULL;
    return z ^ (z >> 31);
}

Below own_of(const Site& site, SwitchIndex s) {
    const auto& own = site.own[s];
    return {own.displays, own.displays > 0 ? mark_of(s) : 0, own.always};
}

// One tree, and what lies below each of its switches, before and after the failure at hand.
class FailingTree {
public:
    FailingTree(const Site& site, const Tree& tree)
        : site_(site), tree_(tree), paths_(site.topology, tree), base_(tree.uplink.size()),
          now_(base_.size()), stamp_(base_.size(), 0), numbered_(tree.order.size()) {
        for (auto at = tree.order.rbegin(); at != tree.order.rend(); ++at) {
            base_[*at].add(own_of(site, *at));
            numbered_[tree.enter[*at]] = *at;
            if (const auto parent = tree.uplink[*at].parent; parent != kNone)
                base_[parent].add(base_[*at]);
        }
    }

    // REQUIRES: the root is not lost
    void fail(const NetworkLoss& loss) {
        ++at_;
        touched_.clear();
        after_ = paths_.after(loss);
        if (after_.top == kNone) return;
        for (auto a = after_.old_parent; a != kNone; a = tree_.uplink[a].parent)
            touch(a).remove(base_[after_.top]);
        for (const auto s : after_.moved) {
            touch(s);
            now_[s] = own_of(site_, s);
        }
        for (auto at = after_.moved.rbegin(); at != after_.moved.rend(); ++at) {
            const auto parent = paths_.uplink()[*at].parent;
            const bool inside = tree_.below(parent, after_.top);
            for (auto a = parent; a != kNone; a = inside ? kNone : tree_.uplink[a].parent)
                touch(a).add(now_[*at]);
        }
    }

    const Uplink& uplink(SwitchIndex s) const { return paths_.uplink()[s]; }
    const std::vector<SwitchIndex>& touched() const { return touched_; }
    const std::vector<std::vector<SwitchIndex>>& islands() const { return after_.islands; }
    const Below& below(SwitchIndex s) const { return stamp_[s] == at_ ? now_[s] : base_[s]; }
    // The source's streams still come here.
    bool reaches(SwitchIndex s) const { return !in_region(s) || stamp_[s] == at_; }
    bool gained(SwitchIndex s) const {
        return stamp_[s] == at_ && (in_region(s) || now_[s].where != base_[s].where ||
                                    !now_[s].always.empty() || !base_[s].always.empty());
    }

    // The switches with displays below `top`, sorted.
    std::vector<SwitchIndex> displays(SwitchIndex top) const {
        std::vector<SwitchIndex> out;
        for (auto i = tree_.enter[top]; i < tree_.leave[top] && !in_region(top); ++i)
            if (!in_region(numbered_[i])) out.push_back(numbered_[i]);
        for (const auto s : after_.moved)
            if (hangs_below(s, top)) out.push_back(s);
        std::erase_if(out, [this](SwitchIndex s) { return site_.own[s].displays == 0; });
        std::sort(out.begin(), out.end());
        return out;
    }

private:
    bool in_region(SwitchIndex s) const { return after_.top != kNone && tree_.below(s, after_.top); }
    bool hangs_below(SwitchIndex s, SwitchIndex top) const {
        for (auto a = s; a != kNone; a = paths_.uplink()[a].parent)
            if (a == top) return true;
        return false;
    }
    Below& touch(SwitchIndex s) {
        if (stamp_[s] != at_) {
            stamp_[s] = at_;
            now_[s] = base_[s];
            touched_.push_back(s);
        }
        return now_[s];
    }

    const Site& site_;
    const Tree& tree_;
    Reconvergence paths_;
    std::vector<Below> base_, now_;  // by switch
    std::vector<std::uint32_t> stamp_;
    std::vector<SwitchIndex> numbered_;  // by tree.enter
    std::vector<SwitchIndex> touched_;
    AfterLoss after_;
    std::uint32_t at_ = 0;
};

class RoutedFailures {
public:
    RoutedFailures(const Site& site, const RoutedTrees& routed, NetworkLoad& out)
        : site_(site), routed_(routed), record_(site, out), entering_(site.venue.switches.size(), SourceMask(site.heaviest.source_count())) {
        for (const auto& tree : routed.trees)
            trees_.push_back(std::make_unique<FailingTree>(site, tree));
        for (std::size_t t = 0; t < routed.sources.size(); ++t)
            entering_[routed.sources[t]] = site.own[routed.sources[t]].sources;
        zones_.resize(site.venue.switches.size());
        for (std::size_t z = 0; z < site.zone_at.size(); ++z)
            if (site.zone_at[z] != kNone && site.venue.zones[z].displays > 0)
                zones_[site.zone_at[z]].push_back(z);
    }

    void run() {
        for (LinkIndex l = 0; l < site_.venue.links.size(); ++l) {
            if (site_.venue.links[l].members > 1) continue;  // a member less leaves the way as it is
            record_.begin("link " + site_.venue.links[l].name);
            reckon({.link = l});
        }
        for (SwitchIndex s = 0; s < site_.venue.switches.size(); ++s) {
            record_.begin("switch " + site_.venue.switches[s].name);
            reckon({.node = s});
        }
    }

private:
    bool is_left(std::size_t tree, const NetworkLoss& loss) const { return routed_.sources[tree] != loss.node; }

    void reckon(const NetworkLoss& loss) {
        std::set<std::pair<LinkIndex, SwitchIndex>> fuller;  // link, from
        std::set<std::size_t> cut;
        if (loss.node != kNone) cut.insert(zones_[loss.node].begin(), zones_[loss.node].end());
        for (std::size_t t = 0; t < trees_.size(); ++t) {
            if (!is_left(t, loss)) continue;
            auto& tree = *trees_[t];
            tree.fail(loss);
            for (const auto s : tree.touched())
                if (tree.uplink(s).parent != kNone && tree.gained(s))
                    fuller.emplace(tree.uplink(s).link, tree.uplink(s).parent);
            for (const auto& island : tree.islands())
                for (const auto s : island) cut.insert(zones_[s].begin(), zones_[s].end());
        }
        report_lost(loss.node);
        for (const auto& [link, from] : fuller)
            record_.raise({link, from, kNone}, rate_on(link, from, loss));
        for (const auto zone : cut) record_.cut_off(zone);
    }

    SwitchIndex other_end(LinkIndex link, SwitchIndex from) const {
        for (const auto& n : site_.topology.neighbours(from))
            if (n.link == link) return n.node;
        return kNone;
    }

    BitRate rate_on(LinkIndex link, SwitchIndex from, const NetworkLoss& loss) const {
        const auto to = other_end(link, from);
        std::vector<std::size_t> users;
        for (std::size_t t = 0; t < trees_.size(); ++t) {
            if (!is_left(t, loss)) continue;
            const auto& up = trees_[t]->uplink(to);
            const auto& below = trees_[t]->below(to);
            if (up.link == link && up.parent == from && trees_[t]->reaches(to) &&
                (below.displays > 0 || !below.always.empty()))
                users.push_back(t);
        }
        if (users.empty()) return BitRate{};
        const auto& first = trees_[users[0]]->below(to);
        const bool alike = std::all_of(users.begin(), users.end(), [&](std::size_t t) {
            return trees_[t]->below(to).where == first.where;
        });
        return alike ? rate_alike(users, link, to) : rate_apart(users, link, to);
    }

    // Every tree reaches the same displays: each chooses among all their streams.
    BitRate rate_alike(const std::vector<std::size_t>& users, LinkIndex link, SwitchIndex to) const {
        SourceMask sources(site_.heaviest.source_count());
        JoinCounts always;
        for (const auto t : users) {
            const auto source = routed_.sources[t];
            sources.add(entering_[source]);
            for (const auto& e : trees_[t]->below(to).always.entries())
                if (site_.carriages[e.carriage].enters == source) always.join(e.carriage);
        }
        return site_.heaviest.sum(sources, always,
                                  site_.rules.choices(trees_[users[0]]->below(to).displays),
                                  site_.tagged(link));
    }

    BitRate rate_apart(const std::vector<std::size_t>& users, LinkIndex link, SwitchIndex to) const {
        RoutedUse use;
        use.trees = users;
        for (const auto t : users) {
            use.displays.push_back(trees_[t]->displays(to));
            use.always.push_back(trees_[t]->below(to).always);
        }
        BitRate sum;
        for (const auto c : routed_worst_mix(site_, routed_, use))
            sum += rate_of(site_.carriages[c], site_.tagged(link));
        return sum;
    }

    void report_lost(SwitchIndex node) {
        std::vector<std::size_t> carriages;
        for (CarriageIndex c = 0; c < site_.carriages.size() && node != kNone && !entering_[node].empty(); ++c)
            if (site_.carriages[c].enters == node) carriages.push_back(c);
        record_.lost(std::move(carriages));
    }

    const Site& site_;
    const RoutedTrees& routed_;
    FailureRecord record_;
    std::vector<std::unique_ptr<FailingTree>> trees_;
    std::vector<SourceMask> entering_;             // by switch
    std::vector<std::vector<std::size_t>> zones_;  // by switch: those with displays
};

}  // namespace

void add_routed_failures(const Site& site, const RoutedTrees& routed, NetworkLoad& out) {
    RoutedFailures(site, routed, out).run();
}

}  // namespace mastline
