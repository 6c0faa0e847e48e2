// SPDX-License-Identifier: Apache-2.0
#include "planner/network/routed_mix.hpp"

#include <algorithm>
#include <limits>
#include <numeric>

#include "planner/network/carriage_set.hpp"

namespace mastline {

namespace {

// The pools of displays that the crowds make for these callers, and one for those that zap.
void make_pools(const Site& site, const std::vector<RoutedCaller>& callers, const Crowds& crowds,
                RoutedDealing& dealing) {
    dealing.begin(callers.size());
    for (std::size_t e = 0; e < crowds.size(); ++e) {
        for (std::size_t i = 0; i < callers.size(); ++i)
            if (crowds.has(e, callers[i].tree)) dealing.serve(i);
        dealing.add_pool(crowds.displays(e));
    }
    const auto all = dealing.displays();
    for (std::size_t i = 0; i < callers.size(); ++i)
        if (dealing.is_served(i)) dealing.serve(i);
    dealing.add_pool(site.rules.choices(all) - all);
}

}  // namespace

RoutedMix::RoutedMix(const Site& site) : site_(site) {}

void RoutedMix::begin(const std::vector<RoutedCaller>& callers, const Crowds& crowds) {
    callers_ = &callers;
    make_pools(site_, callers, crowds, dealing_);
    ladders_.clear();
    joined_.clear();
    any_joined_ = false;
    for (const auto& c : callers) {
        ladders_.push_back(c.ladder);
        joined_.push_back(site_.heaviest.joined_places(*c.sources, *c.always));
        any_joined_ = any_joined_ || !joined_.back().empty();
    }
}

BitRate RoutedMix::at_most(bool tagged) {
    RoutedDealing::Positions all(callers_->size());
    std::iota(all.begin(), all.end(), std::size_t{0});
    const auto end = place_after(all, dealing_.displays());
    std::vector<std::int64_t> choices;
    for (const auto i : all) choices.push_back(choices_before(i, end));
    return sum(choices, tagged);
}

const std::vector<std::int64_t>& RoutedMix::choices() {
    return dealing_.deal([this](const RoutedDealing::Positions& some, std::int64_t most,
                                std::vector<std::int64_t>& asked) {
        const auto end = place_after(some, most);
        asked.clear();
        for (const auto i : some) asked.push_back(choices_before(i, end));
    });
}

BitRate RoutedMix::sum(const std::vector<std::int64_t>& choices, bool tagged) const {
    BitRate out;
    for (std::size_t i = 0; i < choices.size(); ++i) {
        const auto& c = (*callers_)[i];
        out += joined_[i].empty() ? ladders_[i]->sum(static_cast<std::size_t>(choices[i]), tagged)
                                  : site_.heaviest.sum(*ladders_[i], *c.sources, *c.always, choices[i], tagged);
    }
    return out;
}

std::int64_t RoutedMix::choices_before(std::size_t caller, std::uint32_t place) const {
    const auto& joined = joined_[caller];
    if (joined.empty()) return ladders_[caller]->count_before(place);
    return ladders_[caller]->count_before(place) -
           (std::lower_bound(joined.begin(), joined.end(), place) - joined.begin());
}

// The first place before which stand the `most` heaviest that these callers bring and nobody joined;
// past the end where there are fewer.
std::uint32_t RoutedMix::place_after(const RoutedDealing::Positions& some, std::int64_t most) const {
    const auto past = static_cast<std::uint32_t>(site_.heaviest.by_rate().size());
    std::uint32_t low = 0, high = past;
    if (!any_joined_) {  // whole blocks first: they are counted already
        std::uint32_t block = 0, end = past / 64 + 1;
        while (end - block > 1) {
            const auto middle = block + (end - block) / 2;
            std::int64_t before = 0;
            for (const auto i : some) before += ladders_[i]->count_before_block(middle);
            (before < most ? block : end) = middle;
        }
        low = 64 * block;
        high = std::min(past, low + 64);
    }
    while (low < high) {
        const auto middle = low + (high - low) / 2;
        std::int64_t before = 0;
        for (const auto i : some) before += choices_before(i, middle);
        if (before < most) low = middle + 1;
        else high = middle;
    }
    return low;
}

FloodRate rate_of(RoutedMix& mix, const std::vector<RoutedCaller>& callers, const Crowds& crowds) {
    mix.begin(callers, crowds);
    const auto& choices = mix.choices();
    return {mix.sum(choices, false), mix.sum(choices, true)};
}

std::vector<std::int64_t> routed_choices(const Site& site, const std::vector<RoutedCaller>& callers,
                                         const Crowds& crowds) {
    RoutedMix mix(site);
    mix.begin(callers, crowds);
    return mix.choices();
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
    RoutedDealing dealing;
    make_pools(site, callers, crowds, dealing);
    const auto& given = dealing.deal([&](const RoutedDealing::Positions& some, std::int64_t most,
                                         std::vector<std::int64_t>& asked) {
        std::vector<std::pair<std::size_t, std::size_t>> best;  // flow, place in `some`
        for (std::size_t i = 0; i < some.size(); ++i)
            for (const auto f : of_caller[some[i]]) best.emplace_back(f, i);
        std::sort(best.begin(), best.end());
        asked.assign(some.size(), 0);
        for (std::size_t b = 0; b < best.size() && static_cast<std::int64_t>(b) < most; ++b)
            ++asked[best[b].second];
    });
    for (std::size_t i = 0; i < callers.size(); ++i)
        for (std::size_t n = 0; n < static_cast<std::size_t>(given[i]); ++n)
            out.push_back(flows[of_caller[i][n]]);
    return out;
}

std::vector<CarriageIndex> flows_of(const Site& site, const std::vector<RoutedCaller>& callers) {
    SourceMask all(site.heaviest.source_count());
    for (const auto& c : callers) all.add(*c.sources);
    return site.heaviest.pick(all, {}, std::numeric_limits<std::int64_t>::max());
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
    for (const auto& s : shares) site.heaviest.pick_onto(out, s.sources, s.always, s.choices);
    return ascending(std::move(out), site.carriages.size());
}

}  // namespace mastline
