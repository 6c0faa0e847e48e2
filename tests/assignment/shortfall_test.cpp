// SPDX-License-Identifier: Apache-2.0
// What is said where not everything fits.
#include <catch2/catch.hpp>

#include <utility>

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

TEST_CASE("a further card counts for what its model is licensed for on the site", "[unit]") {
    const auto l = assigned(lineup_text({6}) + "[[card_model]]\nname = 'rx'\nkind = 'tuner'\nlicences = 4\ntuners = 2\nsite_licences = 4\n"
                                               "[[card]]\nname = 'A1'\nmodel = 'rx'\n");
    REQUIRE(l.lines.size() == 1);
    INFO(l.lines[0]);
    CHECK(l.lines[0].find("more card") == std::string::npos);
    CHECK(l.lines[0].find("; drop 2 channels (") != std::string::npos);
}

TEST_CASE("cards of two kinds that are both short have their own cures", "[unit]") {
    const auto l = assigned(lineup_text({5}) + cards_text(4, 2, 1) +
                            "[[card_model]]\nname = 'enc'\nkind = 'encoder'\nlicences = 1\nconnectors = ['sdi']\n"
                            "[[card]]\nname = 'E1'\nmodel = 'enc'\n"
                            "[[input]]\nname = 'a'\nconnector = 'sdi'\nrate = '6 Mbit/s'\n"
                            "[[input]]\nname = 'b'\nconnector = 'sdi'\nrate = '6 Mbit/s'\n"
                            "[[channel]]\nnumber = 1\nname = 'A'\ninput = 'a'\n[[channel]]\nnumber = 2\nname = 'B'\ninput = 'b'\n");
    REQUIRE(l.lines.size() == 2);
    INFO(l.lines[0] << '\n' << l.lines[1]);
    const auto both = l.lines[0] + l.lines[1];
    CHECK(both.find("1 more licence on card A1, or 1 more card of model rx wired like A1, or drop 1 channel (10") != std::string::npos);
    CHECK(both.find("1 more card of model enc wired like E1, or drop 1 channel (") != std::string::npos);
}

namespace {

// The channels in brackets behind `words`: "leave 2 channels (101 and 104) unprotected".
std::vector<std::uint32_t> channels_behind(const std::string& line, const std::string& words) {
    std::vector<std::uint32_t> out;
    const auto at = line.find(words);
    if (at == std::string::npos) return out;
    std::uint32_t number = 0;
    for (auto i = line.find('(', at) + 1; i < line.size(); ++i) {
        if (line[i] >= '0' && line[i] <= '9') number = 10 * number + static_cast<std::uint32_t>(line[i] - '0');
        else if (number > 0) out.push_back(std::exchange(number, 0));
        if (line[i] == ')') break;
    }
    return out;
}

bool among(const std::vector<std::uint32_t>& numbers, const Channel& channel) {
    return std::find(numbers.begin(), numbers.end(), channel.number.major) != numbers.end();
}

}  // namespace

// Applied to the venue, what is offered makes everything fit; and none of the channels it names can be spared.
TEST_CASE("fewer channels, or fewer protected ones, are offered where that really helps", "[property]") {
    int dropped = 0, unprotected = 0;
    for (const char* mode : {"reserve", "twice"})
        for (int licences = 1; licences <= 3; ++licences)
            for (int tuners = 1; tuners <= 2; ++tuners)
                for (int cards = 1; cards <= 3; ++cards) {
                    auto room = lineup_room(lineup_text({3, 2}) + cards_text(licences, tuners, cards) + "[protection]\nmode = '" + mode + "'\n");
                    for (const std::size_t c : {0U, 3U, 4U}) room.venue.channels[c].is_protected = true;
                    const auto signal = one_lane_everywhere(room.venue);
                    const auto l = assigned(room.venue, signal);
                    if (l.lines.empty()) continue;
                    INFO(mode << ' ' << licences << ' ' << tuners << ' ' << cards << ": " << l.lines[0]);
                    const auto without = [&](const std::vector<std::uint32_t>& numbers) {
                        auto venue = room.venue;
                        std::erase_if(venue.channels, [&](const Channel& c) { return among(numbers, c); });
                        return assigned(venue, signal).lines.empty();
                    };
                    auto out = channels_behind(l.lines[0], "drop ");
                    REQUIRE(!out.empty());
                    CHECK(without(out));
                    out.pop_back();
                    CHECK_FALSE(without(out));
                    ++dropped;
                    const auto open = channels_behind(l.lines[0], "leave ");
                    if (open.empty()) continue;
                    auto venue = room.venue;
                    for (auto& c : venue.channels) c.is_protected = c.is_protected && !among(open, c);
                    CHECK(assigned(venue, signal).lines.empty());
                    ++unprotected;
                }
    CHECK(dropped > 20);
    CHECK(unprotected > 5);
}
