// SPDX-License-Identifier: Apache-2.0
// Protection against the loss of a chassis, with all its cards at once.
#include <catch2/catch.hpp>

#include <bit>
#include <iostream>

#include "assignment/enumeration.hpp"
#include "support/assignment_instances.hpp"
#include "support/small_lineup.hpp"

using namespace mastline;
using namespace mastline::test;

namespace {

packing::Model in_chassis_of_two(SeededDice& dice, bool reserve) {
    auto out = small_model(dice.roll(4, 6), dice.roll(2, 3), dice.roll(4, 6), dice.roll(2, 4), dice.roll(1, 2));
    out.reserve = reserve;
    for (std::size_t b = 0; b < out.bins.size(); ++b) out.bins[b].loss_group = b / 2;
    for (auto& item : out.items) {
        item.item_class = static_cast<std::size_t>(dice.roll(0, static_cast<int>(out.allowed.size()) - 1));
        item.rate = {5'000'000, 5'220'000};
        item.is_protected = dice.chance(40);
        item.copies = item.is_protected && !reserve ? 2 : 1;
    }
    return out;
}

// Every choice of cards in turn; 0: not even all will do.
int fewest_cards(const packing::Model& model) {
    const unsigned all = 1U << model.bins.size();
    int best = 0;
    for (unsigned choice = 1; choice < all; ++choice) {
        const int n = std::popcount(choice);
        if (best > 0 && n >= best) continue;
        std::vector<std::size_t> used;
        for (std::size_t b = 0; b < model.bins.size(); ++b)
            if (((choice >> b) & 1U) != 0) used.push_back(b);
        if (fits_somehow(model, used)) best = n;
    }
    return best;
}

void compare_with_all_ways(bool reserve) {
    int fit = 0, do_not = 0, dearer_than_cards = 0;
    for (std::uint64_t seed = 0; seed < 60; ++seed) {
        SeededDice dice(seed + 60'000);
        auto model = in_chassis_of_two(dice, reserve);
        const auto plan = packing::solve(model);
        const int fewest = fewest_cards(model);
        INFO("seed " << seed);
        CHECK(plan.proven());
        CHECK(plan.complete() == (fewest > 0));
        ++(fewest > 0 ? fit : do_not);
        if (fewest == 0) continue;
        CHECK(plan.cost() == fewest);
        for (std::size_t b = 0; b < model.bins.size(); ++b) model.bins[b].loss_group = b;
        dearer_than_cards += packing::solve(model).cost() < fewest;
    }
    std::cout << "loss of a chassis, " << (reserve ? "reserve: " : "twice: ") << fit << " lineups as all ways say, " << do_not
              << " that fit in no way; " << dearer_than_cards << " take more cards than against the loss of a card\n";
    CHECK(fit > 15);
    CHECK(do_not > 3);
    if (reserve) CHECK(dearer_than_cards > 0);
}

const std::string kTwoChassis =
    "[[card_model]]\nname = 'rx'\nkind = 'tuner'\nlicences = 4\ntuners = 2\n"
    "[[chassis]]\nname = 'A'\nslots = 4\n[[chassis]]\nname = 'B'\nslots = 4\n"
    "[[card]]\nname = 'A1'\nmodel = 'rx'\nchassis = 'A'\n[[card]]\nname = 'A2'\nmodel = 'rx'\nchassis = 'A'\n"
    "[[card]]\nname = 'B1'\nmodel = 'rx'\nchassis = 'B'\n[[card]]\nname = 'B2'\nmodel = 'rx'\nchassis = 'B'\n";

}  // namespace

TEST_CASE("carried twice, the loss of a chassis is survived with the fewest cards of all ways", "[property]") {
    compare_with_all_ways(false);
}

TEST_CASE("with reserve, the loss of a chassis is survived with the fewest cards of all ways", "[property]") {
    compare_with_all_ways(true);
}

TEST_CASE("the two carriages of a channel stand in different chassis where chassis are guarded against", "[unit]") {
    const auto l = assigned(lineup_text({3}, "protected = true") + kTwoChassis + "[protection]\nmode = 'twice'\nscope = 'chassis'\n");
    CHECK(l.lines.empty());
    for (const std::uint32_t n : {101U, 102U, 103U}) CHECK(l.card_of(n, 1).substr(0, 1) != l.card_of(n, 2).substr(0, 1));
}

TEST_CASE("the reserve for a chassis stands in the other one", "[unit]") {
    // 6 protected channels of one carrier take two cards; the loss of their chassis needs two more.
    const auto cards = [](const std::string& scope) {
        const auto l = assigned(lineup_text({6}, "protected = true") + kTwoChassis + "[protection]\nmode = 'reserve'\nscope = '" + scope + "'\n");
        CHECK(l.lines.empty());
        return l.assignment.proofs.at(0).cards;
    };
    CHECK(cards("card") == 3);
    CHECK(cards("chassis") == 4);
}
