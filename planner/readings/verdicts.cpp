// SPDX-License-Identifier: Apache-2.0
#include "planner/readings/verdicts.hpp"

#include <algorithm>
#include <cmath>
#include <set>
#include <tuple>

namespace mastline {

namespace {

struct Weighed {
    std::vector<std::size_t> faults;
    double p = 0;
};

std::vector<Weighed> normalised(const std::vector<Scenario>& scenarios) {
    double most = scenarios.front().log_weight, sum = 0;
    for (const auto& s : scenarios) most = std::max(most, s.log_weight);
    std::vector<Weighed> out;
    for (const auto& s : scenarios) {
        out.push_back({s.faults, std::exp(s.log_weight - most)});
        sum += out.back().p;
    }
    for (auto& w : out) w.p /= sum;
    return out;
}

template <class T, class Key>
void sort_by_sure(std::vector<T>& list, Key&& key) {
    std::stable_sort(list.begin(), list.end(),
                     [&](const T& a, const T& b) { return key(a) > key(b); });
}

// The likeliest set of parts among scenarios of one size, and the likeliest scenario of that set.
std::vector<std::size_t> best_of_size(const Suspicions& suspicions, const std::vector<Weighed>& all,
                                      std::size_t size) {
    struct Group {
        double sum = 0;
        const Weighed* best = nullptr;
    };
    std::map<std::set<ChainPart>, Group> groups;
    for (const auto& w : all) {
        if (w.faults.size() != size) continue;
        std::set<ChainPart> parts;
        for (const auto h : w.faults)
            parts.insert(suspicions.suspects[suspicions.possibilities[h].suspect].part);
        auto& group = groups[parts];
        group.sum += w.p;
        if (group.best == nullptr || w.p > group.best->p) group.best = &w;
    }
    const Group* best = nullptr;
    for (const auto& [parts, group] : groups)
        if (best == nullptr || group.sum > best->sum) best = &group;
    return best == nullptr ? std::vector<std::size_t>{} : best->best->faults;
}

}  // namespace

Beliefs beliefs_of(const Suspicions& suspicions, const std::vector<Scenario>& scenarios) {
    const auto all = normalised(scenarios);
    using Key = std::tuple<ChainPart, std::string, std::vector<LaneNumber>, PartFaultKind>;
    struct Sum {
        Belief belief;
        double best = 0;
    };
    std::map<Key, Sum> faults;
    std::map<ChainPart, PartBelief> parts;
    std::vector<double> by_size(3, 0);
    for (const auto& w : all) {
        by_size[w.faults.size()] += w.p;
        for (const auto h : w.faults) {
            const auto& p = suspicions.possibilities[h];
            const auto& s = suspicions.suspects[p.suspect];
            parts[s.part].sure += w.p;
            auto& sum = faults[{s.part, s.port, s.lanes, p.kind}];
            sum.belief.sure += w.p;
            if (w.p >= sum.best) sum.best = w.p, sum.belief.possibility = h;
        }
    }
    for (const auto& [key, sum] : faults) parts[std::get<0>(key)].faults.push_back(sum.belief);
    Beliefs out;
    out.faulty = 1 - by_size[0];
    for (auto& [part, belief] : parts) {
        belief.part = part;
        sort_by_sure(belief.faults, [](const Belief& b) { return b.sure; });
        out.parts.push_back(std::move(belief));
    }
    sort_by_sure(out.parts, [](const PartBelief& b) { return b.sure; });
    out.best = best_of_size(suspicions, all, by_size[2] > by_size[1] ? 2 : 1);
    return out;
}

}  // namespace mastline
