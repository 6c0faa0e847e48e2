// SPDX-License-Identifier: Apache-2.0
#include "planner/network/crowds_after.hpp"

#include <algorithm>
#include <tuple>

namespace mastline {

CrowdsAfter::CrowdsAfter(const Site& site, const RoutedTrees& routed,
                         const std::vector<std::unique_ptr<FailingTree>>& trees)
    : site_(site), routed_(routed), trees_(trees), place_(routed.along.size(), kNone),
      seen_(site.own.size(), 0), found_(site.own.size() * 2 * routed.trees.size()) {}

const std::vector<Crowds>& CrowdsAfter::at(const std::vector<Direction>& directions, std::size_t lost_tree) {
    ++now_;
    ways_.assign(1, {});
    out_.resize(std::max(out_.size(), directions.size()));
    for (std::uint32_t i = 0; i < directions.size(); ++i) {
        const auto slot = slot_of(directions[i]);
        place_[slot] = i;
        out_[i] = routed_.along[slot];
    }
    find_movers(lost_tree);
    for (auto m = movers_.begin(); m != movers_.end();) {
        const auto first = m->s;
        std::int64_t displays = 0;
        for (; m != movers_.end() && are_alike(m->s, first); ++m) displays += routed_.alone[m->s].displays;
        move(first, displays);
    }
    for (const auto& d : directions) place_[slot_of(d)] = kNone;
    return out_;
}

// Those with displays whose ways changed; alike ones stand together.
void CrowdsAfter::find_movers(std::size_t lost_tree) {
    movers_.clear();
    const auto consider = [&](SwitchIndex s) {
        if (routed_.alone[s].displays == 0 || routed_.hangers->hangs(s) || seen_[s] == now_) return;
        seen_[s] = now_;
        for (std::size_t t = 0; t < trees_.size(); ++t) {
            const auto before = way(routed_.trees[t].uplink, s, t);
            auto& after = found_[row(s) + trees_.size() + t].id;
            if (t == lost_tree || !trees_[t]->in_region(s)) after = before;
            else if (!trees_[t]->reaches(s)) after = 0;
            else after = way(trees_[t]->uplinks(), s, trees_.size() + t);
        }
        if (moves(s)) movers_.push_back({hash_of(s), s});
    };
    for (std::size_t t = 0; t < trees_.size(); ++t)
        if (t != lost_tree) std::for_each(trees_[t]->region().begin(), trees_[t]->region().end(), consider);
    std::sort(movers_.begin(), movers_.end(), [](const Mover& a, const Mover& b) {
        return std::tie(a.hash, a.s) < std::tie(b.hash, b.s);
    });
}

// `column`: where the ways of this tree, before or after, stand in a row of found_.
CrowdsAfter::WayId CrowdsAfter::way(const std::vector<Uplink>& uplinks, SwitchIndex s, std::size_t column) {
    climb_.clear();
    for (auto at = s; found_[row(at) + column].at != now_; at = uplinks[at].parent) {
        climb_.push_back(at);
        if (uplinks[at].parent == kNone) break;
    }
    for (auto at = climb_.rbegin(); at != climb_.rend(); ++at) {
        const auto& up = uplinks[*at];
        WayId id = 0;
        if (up.parent != kNone) {
            id = found(up.parent, column);
            const auto place = place_[site_.topology.slot(up.link, up.parent)];
            if (place != kNone) {
                ways_.push_back({place, id});
                id = static_cast<WayId>(ways_.size() - 1);
            }
        }
        found_[row(*at) + column] = {id, now_};
    }
    return found(s, column);
}

std::size_t CrowdsAfter::hash_of(SwitchIndex s) const {
    std::uint64_t out = 0;
    for (std::size_t i = 0; i < 2 * trees_.size(); ++i) {
        out = (out ^ found(s, i)) * 0x9E3779B97F4A7C15ULL;
        out ^= out >> 32;
    }
    return out;
}

bool CrowdsAfter::are_alike(SwitchIndex a, SwitchIndex b) const {
    const auto ways = [&](SwitchIndex s) { return found_.begin() + static_cast<std::ptrdiff_t>(row(s)); };
    return std::equal(ways(a), ways(a) + static_cast<std::ptrdiff_t>(2 * trees_.size()), ways(b));
}

bool CrowdsAfter::moves(SwitchIndex s) const {
    for (std::size_t t = 0; t < trees_.size(); ++t)
        if (found(s, t) != found(s, trees_.size() + t)) return true;
    return false;
}

// Takes displays with the ways of `s` from the crowds that they were of and adds them to their new ones.
void CrowdsAfter::move(SwitchIndex s, std::int64_t displays) {
    steps_.clear();
    for (std::uint32_t t = 0; t < trees_.size(); ++t) {
        add_steps(found(s, t), t, false);
        add_steps(found(s, trees_.size() + t), t, true);
    }
    std::sort(steps_.begin(), steps_.end(), [](const Step& a, const Step& b) { return a.place < b.place; });
    for (auto step = steps_.begin(); step != steps_.end();) {
        const auto place = step->place;
        TreeSet before(trees_.size()), after(trees_.size());
        for (; step != steps_.end() && step->place == place; ++step) (step->after ? after : before).set(step->tree);
        if (before == after) continue;
        if (!before.empty()) out_[place].add(before, -displays);
        if (!after.empty()) out_[place].add(after, displays);
    }
}

void CrowdsAfter::add_steps(WayId way, std::uint32_t tree, bool after) {
    for (; way != 0; way = ways_[way].rest) steps_.push_back({ways_[way].place, tree, after});
}

}  // namespace mastline
