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
constexpr std::ptrdiff_t kBranchesShown = 1;  // of those that hang on the same switches

using EdgeCrowd = std::vector<std::string>;  // switches with the same neighbours
using Alike = std::map<std::set<std::string>, EdgeCrowd>;  // by these neighbours
using Distances = std::map<std::string, std::size_t>;
using Neighbours = std::map<std::string, std::set<std::string>>;

// All but the fullest of each crowd; the more crowds there are, the fewer of each are drawn alone, but
// one at least. REQUIRES: the fullest come first
std::vector<EdgeCrowd> left_out(const Alike& alike) {
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

Neighbours neighbours_of(const Venue& venue) {
    Neighbours out;
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

class CrowdFinder {
public:
    CrowdFinder(const PlanIndex& index, const Distances& distances)
        : venue_(index.venue()), distances_(distances), neighbours_(neighbours_of(venue_)),
          fullness_(fullness_of(index.plan().network)) {}

    // Edge switches first; where that is not enough, branches of them too.
    std::vector<EdgeCrowd> run() {
        Alike edges = edge_switches();
        auto out = left_out(edges);
        std::size_t folded = 0, all = 0;
        for (const auto& crowd : out) folded += crowd.size();
        for (const auto& [around, names] : edges) all += names.size();
        if (all - folded + out.size() <= kMostBoxes) return out;
        auto branches = branches_left_out(edges);
        for (auto& crowd : left_out(edges)) branches.push_back(std::move(crowd));
        return branches;
    }

private:
    bool may_be_folded(const Switch& sw) const {
        const auto at = distances_.find(sw.name);
        return at != distances_.end() && at->second > 0 && neighbours_.contains(sw.name) && !sw.querier && !sw.multicast_router;
    }
    std::set<std::string> nearer(const std::string& name) const {
        std::set<std::string> out;
        for (const auto& other : neighbours_.at(name))
            if (const auto there = distances_.find(other); there != distances_.end() && there->second < distances_.at(name))
                out.insert(other);
        return out;
    }
    void sort_fullest_first(EdgeCrowd& names) {
        std::stable_sort(names.begin(), names.end(), [&](const auto& a, const auto& b) { return fullness_[a] > fullness_[b]; });
    }

    Alike edge_switches() {
        Alike out;
        for (const auto& sw : venue_.switches)
            if (may_be_folded(sw) && nearer(sw.name) == neighbours_.at(sw.name)) out[neighbours_.at(sw.name)].push_back(sw.name);
        for (auto& [around, names] : out) sort_fullest_first(names);
        return out;
    }

    // A branch is a switch that leads on to edge switches of its own alone, with these. Of many that hang on the
    // same switches all but the fullest, each as one crowd; their edge switches are taken out of `edges`.
    std::vector<EdgeCrowd> branches_left_out(Alike& edges) {
        Alike alike;
        for (const auto& sw : venue_.switches) {
            const auto own = edges.find({sw.name});
            if (own == edges.end() || !may_be_folded(sw)) continue;
            auto above = nearer(sw.name);
            if (above.size() + own->second.size() != neighbours_.at(sw.name).size()) continue;
            fullness_[sw.name] = std::max(fullness_[sw.name], fullness_[own->second.front()]);
            alike[std::move(above)].push_back(sw.name);
        }
        std::vector<EdgeCrowd> out;
        for (auto& [around, heads] : alike) {
            sort_fullest_first(heads);
            if (heads.size() <= kBranchesShown + 1) continue;
            EdgeCrowd crowd(heads.begin() + kBranchesShown, heads.end());
            for (std::size_t i = kBranchesShown; i < heads.size(); ++i) {
                const auto own = edges.find({heads[i]});
                crowd.insert(crowd.end(), own->second.begin(), own->second.end());
                edges.erase(own);
            }
            out.push_back(std::move(crowd));
        }
        return out;
    }

    const Venue& venue_;
    const Distances& distances_;
    const Neighbours neighbours_;
    std::map<std::string, double> fullness_;  // of a branch: of its fullest link
};

}  // namespace

Distances distances_from_senders(const Venue& venue) {
    Distances out;
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

std::vector<std::vector<std::string>> edge_crowds(const PlanIndex& index, const Distances& distances) {
    return CrowdFinder(index, distances).run();
}

}  // namespace mastline
