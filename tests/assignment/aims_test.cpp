// SPDX-License-Identifier: Apache-2.0
// Of plans with equally few cards: fewest tuners, then best reserve, then even output rate, each
// against all plans of small lineups.
#include <catch2/catch.hpp>

#include <iostream>
#include <map>
#include <tuple>

#include "assignment/enumeration.hpp"
#include "planner/assignment/bin_types.hpp"
#include "support/assignment_instances.hpp"

using namespace mastline;
using namespace mastline::test;

namespace {

using Dark = std::pair<int, int>;  // channels that stay dark after the worst loss, after all losses together

Dark dark_of(const Enumeration& packing) {
    Dark out;
    for (const auto loss : packing.losses()) {
        const int n = packing.dark_after(loss, false);
        out = {std::max(out.first, n), out.second + n};
    }
    return out;
}

packing::Model lineup(SeededDice& dice) {
    auto out = small_model(dice.roll(6, 8), dice.roll(3, 5), dice.roll(3, 4), dice.roll(3, 5), dice.roll(2, 3));
    out.reserve = dice.chance(40);
    for (auto& item : out.items) {
        item.item_class = static_cast<std::size_t>(dice.roll(0, static_cast<int>(out.allowed.size()) - 1));
        item.rate = {std::int64_t{dice.roll(20, 120)} * 100'000, std::int64_t{125} * 100'000};
        item.is_protected = out.reserve && dice.chance(30);
    }
    return out;
}

// What all plans of these cards with as few tuners as can be have to offer.
struct Offer {
    int pairs = 1'000;
    std::map<Dark, std::pair<double, double>> unevenness;  // of each reserve: least and greatest
};

Offer offer_of(const packing::Model& model, const std::vector<std::size_t>& used) {
    Offer out;
    Enumeration(model, used).each([&](const Enumeration& packing) {
        if (packing.pairs() > out.pairs || (model.reserve ? !packing.reserve_holds() : !packing.all_used())) return true;
        if (packing.pairs() < out.pairs) out = {packing.pairs(), {}};
        const double uneven = packing.unevenness();
        const auto [at, fresh] = out.unevenness.emplace(dark_of(packing), std::pair(uneven, uneven));
        at->second = {std::min(at->second.first, uneven), std::max(at->second.second, uneven)};
        return true;
    });
    return out;
}

}  // namespace

TEST_CASE("after fewest cards come fewest tuners, then the best reserve, then even rates", "[property]") {
    int lineups = 0, reserve_missed = 0, evenness_missed = 0;
    int reserve_matters = 0, rate_matters = 0, reserve_before_rate = 0;
    for (std::uint64_t seed = 0; lineups < 150; ++seed) {
        SeededDice dice(seed + 40'000);
        const auto model = lineup(dice);
        const auto plan = packing::solve(model);
        if (!plan.complete()) continue;
        ++lineups;
        INFO("seed " << seed);
        const auto offer = offer_of(model, plan.used());
        Enumeration mine(model, plan.used());
        mine.take(plan.homes);
        REQUIRE_FALSE(offer.unevenness.empty());
        CHECK(mine.pairs() == offer.pairs);
        const auto& [dark, range] = *offer.unevenness.begin();
        const auto [evenest, most_uneven] = range;
        reserve_missed += dark_of(mine) != dark;
        evenness_missed += dark_of(mine) == dark && mine.unevenness() > evenest * 1.000001;
        reserve_matters += offer.unevenness.size() > 1;
        rate_matters += most_uneven > 1.001 * evenest;
        for (const auto& [other, of_other] : offer.unevenness)
            if (of_other.first < evenest * 0.999) {
                ++reserve_before_rate;
                break;
            }
    }
    std::cout << lineups << " small lineups: fewest tuners in all, best reserve in " << lineups - reserve_missed
              << ", evenest rates in " << lineups - reserve_missed - evenness_missed << "; reserves differ in " << reserve_matters
              << ", and cost evenness in " << reserve_before_rate
              << "; rates differ in " << rate_matters << '\n';
    CHECK(reserve_missed <= 2);  // a local search, and a straight way after each loss
    CHECK(evenness_missed <= 4);
    CHECK(reserve_matters > 20);
    CHECK(reserve_before_rate > 5);
    CHECK(rate_matters > 20);
}

// Four carriers of two channels, two cards of four licences and two tuners, and room for a loss in
// neither: rates of 9, 7, 2 and 1 Mbit/s a channel go 9 with 1 and 7 with 2.
TEST_CASE("output rates are evened between cards that could as well be uneven", "[unit]") {
    auto model = small_model(8, 4, 2, 4, 2);
    const std::int64_t rates[] = {9'000'000, 7'000'000, 2'000'000, 1'000'000};
    for (std::size_t i = 0; i < 8; ++i) {
        model.items[i].item_class = i / 2;
        model.items[i].rate = {rates[i / 2], rates[i / 2]};
    }
    const auto plan = packing::solve(model);
    REQUIRE(plan.complete());
    CHECK(plan.homes[0][0] == plan.homes[6][0]);
    CHECK(plan.homes[2][0] == plan.homes[4][0]);
    CHECK(plan.homes[0][0] != plan.homes[2][0]);
}

// Four carriers, two cards of three tuners: alone on its card, the carrier of six channels would find
// no tuner after a loss, though its rate is that of the three others together.
TEST_CASE("of plans with the same tuners the one is taken that a loss darkens least", "[unit]") {
    auto model = small_model(9, 4, 2, 10, 3);
    for (std::size_t i = 0; i < 9; ++i) {
        model.items[i].item_class = i < 6 ? 0 : i - 5;
        const std::int64_t rate = i < 6 ? 1'000'000 : 2'000'000;
        model.items[i].rate = {rate, rate};
    }
    const auto plan = packing::solve(model);
    REQUIRE(plan.complete());
    CHECK(plan.cost() == 2);
    const auto beside = [&](std::size_t i) { return plan.homes[i][0] == plan.homes[0][0]; };
    CHECK((beside(6) || beside(7) || beside(8)));
}

// A loss group whose number is that by which the tied bin might be known.
TEST_CASE("a bin that items are tied to is like none, whatever the numbers of the loss groups", "[unit]") {
    for (std::size_t group = 0; group < 12; ++group) {
        CAPTURE(group);
        auto model = small_model(3, 2, 4, 5, 3);
        model.reserve = model.items[2].is_protected = true;
        model.items[0].pinned[0] = 1;
        model.bins[0].loss_group = model.bins[2].loss_group = model.bins[3].loss_group = group;
        model.bins[1].loss_group = group + 1;
        CHECK(packing::bin_types(model) == std::vector<std::vector<std::size_t>>{{0, 2, 3}, {1}});
    }
}
