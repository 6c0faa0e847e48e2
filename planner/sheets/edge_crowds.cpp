// SPDX-License-Identifier: Apache-2.0
#include "planner/sheets/edge_crowds.hpp"

#include <algorithm>
#include <set>

#include "planner/sheets/network_chart.hpp"

namespace mastline {

namespace {

constexpr std::size_t kMostAlike = 16;    // are all drawn
constexpr std::size_t kShownOfMany = 6;   // else so many, the fullest
constexpr std::size_t kMostBoxes = 40;    // of edge switches and crowds; beyond, fewer of each crowd

using EdgeCrowd = std::vector<std::string>;  // switches with the same neighbours

// All but the fullest of each crowd; the more crowds there are, the fewer of each are drawn alone, but
// one at least. REQUIRES: the fullest come first
std::vector<EdgeCrowd> left_out(const std::map<std::set<std::string>, EdgeCrowd>& alike) {
    std::size_t most = kMostAlike, shown = kShownOfMany;
    const auto boxes = [&] {
        std::size_t sum = 0;
        for (const auto& [around, names] : alike)
            sum += names.size() > most ? shown + 1 : names.size();
        return sum;
    };
    for (; boxes() > kMostBoxes && shown > 1; most = shown + 1) --shown;
    std::vector<EdgeCrowd> out;
    for (const auto& [around, names] : alike)
        if (names.size() > most) out.emplace_back(names.begin() + static_cast<std::ptrdiff_t>(shown), names.end());
    return out;
}

std::map<std::string, std::set<std::string>> neighbours_of(const Venue& venue) {
    std::map<std::string, std::set<std::string>> out;
    for (const auto& link : venue.links) {
        out[link.from].insert(link.to);
        out[link.to].insert(link.from);
    }
    return out;
}

// How full the fullest link of each switch gets, in the worst failure too.
std::map<std::string, double> fullness_of(const NetworkLoad& network) {
    std::map<std::string, double> out;
    for (const auto& load : network.links)
        for (const auto* end : {&load.from, &load.to})
            out[*end] = std::max(out[*end], share_of(load.worst_failure, load.capacity));
    return out;
}

}  // namespace

std::map<std::string, std::size_t> distances_from_senders(const Venue& venue) {
    std::map<std::string, std::size_t> out;
    std::set<std::string> names;
    for (const auto& sw : venue.switches) names.insert(sw.name);
    const auto neighbours = neighbours_of(venue);
    std::vector<std::string> ready;
    const auto reach = [&](const std::string& name, std::size_t distance) {
        if (names.contains(name) && out.try_emplace(name, distance).second) ready.push_back(name);
    };
    for (const auto& card : venue.cards) reach(card.attached_to, 0);
    if (ready.empty() && !venue.switches.empty()) reach(venue.switches[0].name, 0);
    for (std::size_t i = 0; i < ready.size(); ++i) {
        const auto around = neighbours.find(ready[i]);
        if (around == neighbours.end()) continue;
        const std::size_t distance = out[ready[i]] + 1;
        for (const auto& other : around->second) reach(other, distance);
    }
    return out;
}

std::vector<std::vector<std::string>> edge_crowds(
    const PlanIndex& index, const std::map<std::string, std::size_t>& distances) {
    const auto neighbours = neighbours_of(index.venue());
    auto fullness = fullness_of(index.plan().network);
    std::map<std::set<std::string>, EdgeCrowd> alike;
    for (const auto& sw : index.venue().switches) {
        const auto at = distances.find(sw.name);
        const auto around = neighbours.find(sw.name);
        if (at == distances.end() || at->second == 0 || around == neighbours.end()) continue;
        if (sw.querier || sw.multicast_router) continue;
        const bool leads_on = std::any_of(
            around->second.begin(), around->second.end(), [&](const std::string& other) {
                const auto there = distances.find(other);
                return there == distances.end() || there->second >= at->second;
            });
        if (!leads_on) alike[around->second].push_back(sw.name);
    }
    for (auto& [around, names] : alike)
        std::stable_sort(names.begin(), names.end(), [&](const std::string& a, const std::string& b) {
            return fullness[a] > fullness[b];
        });
    return left_out(alike);
}

}  // namespace mastline
