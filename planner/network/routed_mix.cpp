// SPDX-License-Identifier: Apache-2.0
#include "planner/network/routed_mix.hpp"

#include <algorithm>
#include <functional>

namespace mastline {

namespace {

using Positions = std::vector<std::size_t>;  // into the callers, ascending

// Of the `most` heaviest streams that `some` bring: how many each of them does.
using Choose = std::function<std::vector<std::int64_t>(const Positions& some, std::int64_t most)>;

struct Pool {
    Positions callers;
    std::int64_t displays;
};

std::vector<Pool> pools_of(const Site& site, const std::vector<RoutedCaller>& callers, const Crowds& crowds) {
    std::vector<Pool> out;
    std::vector<bool> reaches(callers.size(), false);
    std::int64_t all = 0;
    for (const auto& crowd : crowds.entries()) {
        Pool pool{{}, crowd.displays};
        for (std::size_t i = 0; i < callers.size() && crowd.displays > 0; ++i)
            if (crowd.trees.has(callers[i].tree)) pool.callers.push_back(i), reaches[i] = true;
        if (pool.callers.empty()) continue;
        all += pool.displays;
        out.push_back(std::move(pool));
    }
    Pool flowing_on{{}, site.rules.choices(all) - all};
    for (std::size_t i = 0; i < callers.size(); ++i)
        if (reaches[i]) flowing_on.callers.push_back(i);
    if (flowing_on.displays > 0) out.push_back(std::move(flowing_on));
    return out;
}

bool meet(const Positions& a, const Positions& b) {
    for (auto i = a.begin(), j = b.begin(); i != a.end() && j != b.end();) {
        if (*i == *j) return true;
        *i < *j ? ++i : ++j;
    }
    return false;
}

Positions common(const Positions& a, const Positions& b) {
    Positions out;
    std::set_intersection(a.begin(), a.end(), b.begin(), b.end(), std::back_inserter(out));
    return out;
}

// Deals what callers are asked for to the displays of pools: a flow, widened path by path.
class Supply {
public:
    Supply(const Positions& callers, const std::vector<std::int64_t>& asked, const std::vector<Pool>& pools)
        : callers_(callers), left_(asked), flow_(callers.size(), std::vector<std::int64_t>(pools.size())),
          serves_(pools.size(), std::vector<bool>(callers.size(), false)) {
        for (std::size_t p = 0; p < pools.size(); ++p) {
            room_.push_back(pools[p].displays);
            for (std::size_t c = 0; c < callers.size(); ++c)
                serves_[p][c] = std::binary_search(pools[p].callers.begin(), pools[p].callers.end(), callers[c]);
        }
    }

    // The callers that ask for more than their displays, taken together; none where all is dealt.
    Positions overdrawn() {
        for (std::size_t c = 0; c < left_.size(); ++c)
            for (std::size_t p = 0; p < room_.size(); ++p)
                if (serves_[p][c]) deal(c, p, std::min(left_[c], room_[p]));
        Positions out;
        for (std::size_t c = 0; c < left_.size(); ++c) {
            while (left_[c] > 0 && widen(c)) {}
            if (left_[c] == 0) continue;
            for (std::size_t r = 0; r < reached_.size(); ++r)
                if (reached_[r] != kNowhere) out.push_back(callers_[r]);
        }
        std::sort(out.begin(), out.end());
        out.erase(std::unique(out.begin(), out.end()), out.end());
        return out;
    }

private:
    static constexpr std::size_t kNowhere = static_cast<std::size_t>(-1);

    void deal(std::size_t c, std::size_t p, std::int64_t displays) {
        left_[c] -= displays;
        room_[p] -= displays;
        flow_[c][p] += displays;
    }

    // Breadth first: a caller may take over displays of another if that one finds others.
    bool widen(std::size_t start) {
        reached_.assign(left_.size(), kNowhere);
        by_pool_.assign(left_.size(), kNowhere);
        reached_[start] = start;
        std::vector<std::size_t> queue{start};
        for (std::size_t at = 0; at < queue.size(); ++at) {
            const auto c = queue[at];
            for (std::size_t p = 0; p < room_.size(); ++p) {
                if (!serves_[p][c]) continue;
                if (room_[p] > 0) {
                    pass_along(start, c, p);
                    return true;
                }
                for (std::size_t other = 0; other < left_.size(); ++other) {
                    if (flow_[other][p] == 0 || reached_[other] != kNowhere) continue;
                    reached_[other] = c;
                    by_pool_[other] = p;
                    queue.push_back(other);
                }
            }
        }
        return false;
    }

    void pass_along(std::size_t start, std::size_t last, std::size_t pool) {
        std::int64_t width = std::min(left_[start], room_[pool]);
        for (auto c = last; c != start; c = reached_[c]) width = std::min(width, flow_[c][by_pool_[c]]);
        room_[pool] -= width;
        left_[start] -= width;
        flow_[last][pool] += width;
        for (auto c = last; c != start; c = reached_[c]) {
            flow_[c][by_pool_[c]] -= width;
            flow_[reached_[c]][by_pool_[c]] += width;
        }
    }

    const Positions& callers_;
    std::vector<std::int64_t> left_, room_;        // by place in callers_, by pool
    std::vector<std::vector<std::int64_t>> flow_;  // by both
    std::vector<std::vector<bool>> serves_;        // by pool and place
    std::vector<std::size_t> reached_, by_pool_;   // of the latest search: from which, over which pool
};

// By decomposition, as the head of this file's header says.
void decompose(Positions some, const std::vector<Pool>& pools, const Choose& choose,
               std::vector<std::int64_t>& given) {
    std::erase_if(some, [&](std::size_t c) {
        return std::none_of(pools.begin(), pools.end(), [c](const Pool& p) {
            return std::binary_search(p.callers.begin(), p.callers.end(), c);
        });
    });
    if (some.empty()) return;
    std::int64_t displays = 0;
    for (const auto& p : pools) displays += p.displays;
    const auto asked = choose(some, displays);
    const Positions over = pools.size() == 1 ? Positions{} : Supply(some, asked, pools).overdrawn();
    if (over.empty()) {
        for (std::size_t i = 0; i < some.size(); ++i) given[some[i]] = asked[i];
        return;
    }
    std::vector<Pool> theirs, left;
    for (const auto& p : pools) {
        if (meet(p.callers, over)) theirs.push_back({common(p.callers, over), p.displays});
        else left.push_back(p);
    }
    Positions others;
    std::set_difference(some.begin(), some.end(), over.begin(), over.end(), std::back_inserter(others));
    decompose(over, theirs, choose, given);
    decompose(std::move(others), left, choose, given);
}

std::vector<std::int64_t> choices_of(const Site& site, const std::vector<RoutedCaller>& callers,
                                     const Crowds& crowds, const Choose& choose) {
    std::vector<std::int64_t> given(callers.size(), 0);
    Positions all;
    for (std::size_t i = 0; i < callers.size(); ++i) all.push_back(i);
    decompose(std::move(all), pools_of(site, callers, crowds), choose, given);
    return given;
}

}  // namespace

std::vector<std::int64_t> routed_choices(const Site& site, const std::vector<RoutedCaller>& callers,
                                         const Crowds& crowds) {
    std::vector<std::vector<std::uint32_t>> joined;
    for (const auto& c : callers) joined.push_back(site.heaviest.joined_places(*c.sources, *c.always));
    return choices_of(site, callers, crowds, [&](const Positions& some, std::int64_t most) {
        SourceMask sources(site.heaviest.source_count());
        std::vector<std::uint32_t> besides;
        for (const auto i : some) {
            sources.add(*callers[i].sources);
            besides.insert(besides.end(), joined[i].begin(), joined[i].end());
        }
        std::sort(besides.begin(), besides.end());
        const auto end = site.heaviest.place_after(sources, besides, most);
        std::vector<std::int64_t> out;
        for (const auto i : some)
            out.push_back(site.heaviest.count_before(*callers[i].sources, joined[i], end));
        return out;
    });
}

std::vector<CarriageIndex> routed_mix_among(const Site& site, const std::vector<RoutedCaller>& callers,
                                            const Crowds& crowds,
                                            const std::vector<CarriageIndex>& flows) {
    std::vector<CarriageIndex> out;
    std::vector<std::vector<std::size_t>> of_caller(callers.size());  // into flows, which are by rate
    for (std::size_t f = 0; f < flows.size(); ++f)
        for (std::size_t i = 0; i < callers.size(); ++i) {
            if (!callers[i].sources->has(site.heaviest.source_of(flows[f]))) continue;
            if (callers[i].always->has(flows[f])) out.push_back(flows[f]);
            else of_caller[i].push_back(f);
        }
    const auto given = choices_of(site, callers, crowds, [&](const Positions& some, std::int64_t most) {
        std::vector<std::pair<std::size_t, std::size_t>> best;  // flow, place in `some`
        for (std::size_t i = 0; i < some.size(); ++i)
            for (const auto f : of_caller[some[i]]) best.emplace_back(f, i);
        std::sort(best.begin(), best.end());
        std::vector<std::int64_t> counts(some.size(), 0);
        for (std::size_t b = 0; b < best.size() && static_cast<std::int64_t>(b) < most; ++b)
            ++counts[best[b].second];
        return counts;
    });
    for (std::size_t i = 0; i < callers.size(); ++i)
        for (std::size_t n = 0; n < static_cast<std::size_t>(given[i]); ++n)
            out.push_back(flows[of_caller[i][n]]);
    return out;
}

std::vector<MixShare> shares_of(const std::vector<RoutedCaller>& callers,
                                const std::vector<std::int64_t>& choices) {
    std::vector<MixShare> out;
    for (std::size_t i = 0; i < callers.size(); ++i)
        out.push_back({*callers[i].sources, *callers[i].always, choices[i]});
    return out;
}

BitRate rate_of(const Site& site, const std::vector<MixShare>& shares, bool tagged) {
    BitRate sum;
    for (const auto& s : shares) sum += site.heaviest.sum(s.sources, s.always, s.choices, tagged);
    return sum;
}

std::vector<CarriageIndex> groups_of(const Site& site, const std::vector<MixShare>& shares) {
    std::vector<CarriageIndex> out;
    for (const auto& s : shares) {
        const auto part = site.heaviest.pick(s.sources, s.always, s.choices);
        out.insert(out.end(), part.begin(), part.end());
    }
    std::sort(out.begin(), out.end());
    return out;
}

}  // namespace mastline
