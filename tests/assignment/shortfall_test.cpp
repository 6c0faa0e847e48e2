// SPDX-License-Identifier: Apache-2.0
// What is said where not everything fits.
#include <catch2/catch.hpp>

#include "assignment/integer_model.hpp"
#include "planner/assignment/conflict.hpp"
#include "support/assignment_instances.hpp"
#include "support/small_lineup.hpp"

using namespace mastline;
using namespace mastline::test;

namespace {

packing::Model only(const packing::Model& model, const std::vector<std::size_t>& items) {
    auto out = model;
    out.items.clear();
    for (const auto i : items) out.items.push_back(model.items[i]);
    return out;
}

std::int64_t all_cost(const packing::Model& model) {
    std::int64_t out = 0;
    for (const auto& bin : model.bins) out += bin.cost;
    return out;
}

}  // namespace

// Against the integer program of the tests: the set has no plan, and has one without any of its items.
TEST_CASE("the channels that do not fit by themselves are as few as can be", "[property]") {
    int found = 0;
    for (std::uint64_t seed = 1; seed <= 60; ++seed) {
        InstanceKind kind;
        kind.channels = 24;
        kind.lanes = 2;
        kind.models = 2;
        kind.protected_percent = seed % 2 == 0 ? 30 : 0;
        kind.reserve = true;
        auto model = random_instance(seed + 300, kind);
        model.bins.resize(3);  // too few for most
        for (auto& row : model.allowed) row.resize(3);
        const auto conflict = packing::conflict_of(model, 2);
        if (conflict.items.empty() || !conflict.smallest) continue;
        ++found;
        INFO("seed " << seed);
        CHECK(has_plan(only(model, conflict.items), all_cost(model), 2) == Answer::no);
        for (const auto out : conflict.items) {
            auto rest = conflict.items;
            std::erase(rest, out);
            CHECK(has_plan(only(model, rest), all_cost(model), 2) == Answer::yes);
        }
    }
    CHECK(found > 12);  // 20, with a smallest set proven
}

TEST_CASE("a lane brought to a free input is among the cures", "[unit]") {
    // A1 alone has the lane of carrier w1 and room for 5 of its 6 channels; A2 has an input to spare.
    const std::string text = lineup_text({6, 1}) +
                             "[[card_model]]\nname = 'rx'\nkind = 'tuner'\nlicences = 5\ntuners = 2\ninputs = 2\n"
                             "[[card]]\nname = 'A1'\nmodel = 'rx'\n[[card]]\nname = 'A2'\nmodel = 'rx'\n";
    auto room = lineup_room(text);
    room.venue.carriers[1].lane = {2};
    SignalPlan signal;
    signal.reach = {{{"A1", "in1"}, {{{"west", {1}}, true, Gain::db(3), {}}}}, {{"A2", "in1"}, {{{"west", {2}}, true, Gain::db(3), {}}}}};
    const auto l = assigned(room.venue, signal);
    REQUIRE(l.lines.size() == 1);
    INFO(l.lines[0]);
    CHECK(l.lines[0].find("bring lane west/1 to free input in2 of card A2, or 1 more licence on card A1, or 1 more card "
                          "of model rx wired like A1, or drop 1 channel") != std::string::npos);
    CHECK(l.lines[0].find("; no prices are given: rewiring first, then licences, cards, fewer channels") != std::string::npos);
}

TEST_CASE("what is bought is offered by its price where licences and cards have one", "[unit]") {
    // Two channels are short on a card of four licences: two licences, or another card.
    const auto offer = [](const std::string& licence) {
        const auto l = assigned(lineup_text({6}) + "[[card_model]]\nname = 'rx'\nkind = 'tuner'\nlicences = 4\ntuners = 2\nweight = 9\n" + licence +
                                "[[card]]\nname = 'A1'\nmodel = 'rx'\n");
        REQUIRE(l.lines.size() == 1);
        return l.lines[0];
    };
    const std::string card = "1 more card of model rx wired like A1 (weight 9)";
    CHECK(offer("licence_weight = 3\n").find("2 more licences on card A1 (weight 6), or " + card) != std::string::npos);
    CHECK(offer("licence_weight = 5\n").find(card + ", or 2 more licences on card A1 (weight 10)") != std::string::npos);
    CHECK(offer("licence_weight = 5\n").find("; rewiring first, then what is bought by its weight, then fewer channels") != std::string::npos);
    CHECK(offer("").find("2 more licences on card A1, or " + card) != std::string::npos);
    CHECK(offer("").find("; rewiring first, then licences, the cheapest cards, fewer channels") != std::string::npos);
}

TEST_CASE("of several kinds of licence the cheapest is offered", "[unit]") {
    const auto l = assigned(lineup_text({9}) +
                            "[[card_model]]\nname = 'dear'\nkind = 'tuner'\nlicences = 4\ntuners = 1\nlicence_weight = 7\nweight = 90\n"
                            "[[card_model]]\nname = 'plain'\nkind = 'tuner'\nlicences = 4\ntuners = 1\nlicence_weight = 2\nweight = 90\n"
                            "[[card]]\nname = 'D1'\nmodel = 'dear'\n[[card]]\nname = 'P1'\nmodel = 'plain'\n");
    REQUIRE(l.lines.size() == 1);
    INFO(l.lines[0]);
    CHECK(l.lines[0].find("1 more licence on card P1 (weight 2), or ") != std::string::npos);
}

TEST_CASE("of several kinds of card the cheapest that makes room is offered", "[unit]") {
    // Two light cards make the room that is missing for less than one heavy card.
    const auto offer = [](int heavy) {
        const auto l = assigned(lineup_text({4, 4, 6}) +
                                "[[card_model]]\nname = 'big'\nkind = 'tuner'\nlicences = 8\ntuners = 2\nweight = " + std::to_string(heavy) +
                                "\n[[card_model]]\nname = 'small'\nkind = 'tuner'\nlicences = 2\ntuners = 1\nweight = 4\n"
                                "[[card]]\nname = 'B1'\nmodel = 'big'\n[[card]]\nname = 'S1'\nmodel = 'small'\n");
        REQUIRE(l.lines.size() == 1);
        INFO(l.lines[0]);
        return l.lines[0];
    };
    CHECK(offer(7).find("1 more card of model big wired like B1 (weight 7)") != std::string::npos);
    CHECK(offer(9).find("2 more cards of model small wired like S1 (weight 8)") != std::string::npos);
}
