// SPDX-License-Identifier: Apache-2.0
#include "planner/network/topology.hpp"

#include <algorithm>
#include <numeric>
#include <tuple>
#include <unordered_map>

#include "mastline/network/querier_election.hpp"

namespace mastline {

namespace {

// The place of each element in the order of `less`.
template <class Less>
std::vector<std::uint32_t> ranks(std::size_t count, Less less) {
    std::vector<std::uint32_t> order(count), rank(count);
    std::iota(order.begin(), order.end(), 0U);
    std::stable_sort(order.begin(), order.end(), less);
    for (std::uint32_t i = 0; i < count; ++i) rank[order[i]] = i;
    return rank;
}

std::vector<const Switch*> as_in_file(const Venue& venue) {
    std::vector<const Switch*> out;
    for (const auto& s : venue.switches) out.push_back(&s);
    return out;
}

}  // namespace

std::int64_t path_cost(const Link& link, int members) {
    if (link.cost) return *link.cost;
    const std::int64_t speed = link.speed.bits_per_second() * std::max(members, 1);
    return std::clamp<std::int64_t>(20'000'000'000'000 / std::max<std::int64_t>(speed, 1), 1,
                                    200'000'000);
}

std::int64_t cost_with_one_less(const Link& link) {
    if (link.cost) return std::int64_t{*link.cost} * link.members / (link.members - 1);
    return path_cost(link, link.members - 1);
}

Topology::Topology(const Venue& venue) : Topology(as_in_file(venue), venue.links) {}

Topology::Topology(const std::vector<const Switch*>& switches, const std::vector<Link>& links) {
    rank = ranks(switches.size(), [&](std::uint32_t a, std::uint32_t b) {
        const auto key = [&](std::uint32_t i) {
            const auto& s = *switches[i];
            return std::tuple(s.priority, !s.mac.has_value(), s.mac.value_or(MacAddress{}),
                              std::string_view(s.name));
        };
        return key(a) < key(b);
    });
    link_rank = ranks(links.size(), [&](std::uint32_t a, std::uint32_t b) {
        return links[a].name < links[b].name;
    });
    std::unordered_map<std::string_view, SwitchIndex> index;
    for (SwitchIndex i = 0; i < switches.size(); ++i) index.emplace(switches[i]->name, i);
    std::vector<std::vector<Neighbour>> lists(switches.size());
    for (LinkIndex i = 0; i < links.size(); ++i) {
        const auto& link = links[i];
        cost.push_back(path_cost(link, link.members));
        from.push_back(kNone);
        const auto a = index.find(link.from), b = index.find(link.to);
        if (a == index.end() || b == index.end() || a->second == b->second) continue;
        from[i] = a->second;
        lists[a->second].push_back({b->second, i});
        lists[b->second].push_back({a->second, i});
    }
    first.push_back(0);
    for (const auto& list : lists) {
        adjacent.insert(adjacent.end(), list.begin(), list.end());
        first.push_back(adjacent.size());
    }
    for (const auto i : queriers_in_turn(switches)) queriers.push_back(static_cast<SwitchIndex>(i));
}

}  // namespace mastline
