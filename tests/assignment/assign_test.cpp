// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "support/small_lineup.hpp"

using namespace mastline;
using test::assigned;
using test::cards_text;
using test::lineup_text;
using Lines = std::vector<std::string>;

TEST_CASE("channels of one carrier share a tuner and the fewest cards are used", "[unit]") {
    // 10 channels of 2 carriers: one card of 10 licences and 2 tuners holds them all.
    const auto l = assigned(lineup_text({6, 4}) + cards_text(10, 2, 3));
    CHECK(l.lines == Lines{});
    CHECK(l.assignment.homes.size() == 10);
    REQUIRE(l.assignment.proofs.size() == 1);
    CHECK(l.assignment.proofs[0].cards == 1);
    CHECK(l.assignment.proofs[0].proven);
    CHECK(l.assignment.proofs[0].what == "tuner cards A1");
    CHECK(l.assignment.homes[0].input == "in1");
    CHECK(l.assignment.homes[0].carrier == 0);
}

TEST_CASE("the proof says what the next smaller number of cards lacks", "[unit]") {
    const auto by_licences = assigned(lineup_text({6, 6}) + cards_text(10, 4, 3));
    REQUIRE(by_licences.assignment.proofs.size() == 1);
    CHECK(by_licences.assignment.proofs[0].why == "1 is not enough: 12 licences needed, 10 available");
    const auto by_tuners = assigned(lineup_text({1, 1, 1}) + cards_text(10, 1, 4));
    REQUIRE(by_tuners.assignment.proofs.size() == 1);
    CHECK(by_tuners.assignment.proofs[0].cards == 3);
    CHECK(by_tuners.assignment.proofs[0].why == "2 are not enough: 3 tuners needed, 2 available");
}

TEST_CASE("channels that find no room are named with amount, cause and cures", "[unit]") {
    const auto l = assigned(lineup_text({8, 5}) + cards_text(5, 2, 2));
    CHECK(l.assignment.homes.size() == 10);
    CHECK(l.assignment.unplaced.size() == 3);
    REQUIRE(l.lines.size() == 1);
    CHECK(l.lines[0].find("error: assignment.no-card: channel ") != std::string::npos);
    CHECK(l.lines[0].find("no room on cards A1 and A2: 13 licences needed, 10 available (3 channels); 3 more "
                          "licences on card A1, or 1 more card of model rx wired like A1, or drop 3 channels") !=
          std::string::npos);
}

TEST_CASE("a lane that reaches no card is named with its channels", "[unit]") {
    auto room = test::lineup_room(lineup_text({2, 1}) + cards_text(5, 2, 2));
    room.venue.carriers[1].lane = {3};
    const auto signal = test::one_lane_everywhere(room.venue);
    const auto l = assigned(room.venue, signal);
    CHECK(l.assignment.unplaced == std::vector<std::size_t>{2});
    REQUIRE(l.lines.size() == 1);
    CHECK(l.lines[0].find("assignment.out-of-reach: channel 103: lane west/3 of carrier w2 reaches no card that "
                          "receives dvb-s2 (1 channel); run that lane to a card input, or use a card with that "
                          "system") != std::string::npos);
}

TEST_CASE("a card of the wrong system does not receive a carrier", "[unit]") {
    const auto l = assigned(lineup_text({2}) +
                            "[[card_model]]\nname = 'terr'\nkind = 'tuner'\nlicences = 9\ntuners = 4\nsystems = ['dvb-t2']\n"
                            "[[card]]\nname = 'T1'\nmodel = 'terr'\n");
    CHECK(l.assignment.unplaced.size() == 2);
    CHECK(l.lines.size() == 1);
}

TEST_CASE("an input that is not connected takes its share of the licences away", "[unit]") {
    const std::string model =
        "[[card_model]]\nname = 'rx'\nkind = 'tuner'\nlicences = 10\ntuners = 4\ninputs = 2\nlicence_inputs = [1, 2]\n"
        "[[card]]\nname = 'A1'\nmodel = 'rx'\n";
    auto room = test::lineup_room(lineup_text({6}) + model);
    auto signal = test::one_lane_everywhere(room.venue);
    CHECK(assigned(room.venue, signal).assignment.unplaced.size() == 1);
    signal.reach.push_back({{"A1", "in2"}, {{{"west", {1}}, true, Gain::db(5), {}}}});
    const auto both = assigned(room.venue, signal);
    CHECK(both.assignment.unplaced.empty());
    CHECK(both.assignment.homes[0].input == "in2");  // greater margin
}

TEST_CASE("a lane outside the window still reaches, but one inside is preferred", "[unit]") {
    auto room = test::lineup_room(lineup_text({1}) +
                                  "[[card_model]]\nname = 'rx'\nkind = 'tuner'\nlicences = 10\ntuners = 4\ninputs = 2\n"
                                  "[[card]]\nname = 'A1'\nmodel = 'rx'\n");
    SignalPlan signal;
    signal.reach.push_back({{"A1", "in1"}, {{{"west", {1}}, false, Gain::db(-2), {}}}});
    CHECK(assigned(room.venue, signal).assignment.unplaced.empty());
    signal.reach.push_back({{"A1", "in2"}, {{{"west", {1}}, true, Gain::db(1), {}}}});
    CHECK(assigned(room.venue, signal).assignment.homes[0].input == "in2");
}

TEST_CASE("a card receives no more carriers than it has user bands, each by an input with one", "[unit]") {
    const std::string model =
        "[[card_model]]\nname = 'rx'\nkind = 'tuner'\nlicences = 10\ntuners = 4\ninputs = 2\n"
        "[[card]]\nname = 'A1'\nmodel = 'rx'\n[[card]]\nname = 'A2'\nmodel = 'rx'\n";
    auto room = test::lineup_room(lineup_text({1, 1, 1}) + model);
    auto signal = test::one_lane_everywhere(room.venue);
    signal.user_bands = {{{"ms", "out1"}, 1, {}, {"A1", "in1"}}, {{"ms", "out2"}, 1, {}, {"A2", "in1"}},
                         {{"ms", "out2"}, 2, {}, {"A2", "in1"}}};
    const auto split = assigned(room.venue, signal);
    CHECK(split.lines == Lines{});
    REQUIRE(split.assignment.proofs.size() == 1);
    CHECK(split.assignment.proofs[0].cards == 2);

    // A second single cable to A1: with one user band each, one carrier comes in by either.
    signal.reach.push_back({{"A1", "in2"}, {{{"west", {1}}, true, Gain::db(5), {}}}});
    signal.user_bands.push_back({{"ms", "out3"}, 1, {}, {"A1", "in2"}});
    auto two = test::lineup_room(lineup_text({2, 1}, "card = 'A1'") + model);
    const auto both = assigned(two.venue, signal);
    CHECK(both.lines == Lines{});
    REQUIRE(both.assignment.homes.size() == 3);
    CHECK(both.assignment.homes[0].input == both.assignment.homes[1].input);  // one carrier, one tuner
    CHECK(both.assignment.homes[0].input != both.assignment.homes[2].input);
}

TEST_CASE("a carrier that only a full single cable brings is reported", "[unit]") {
    auto room = test::lineup_room(lineup_text({1, 1}, "card = 'A1'") +
                                  "[[card_model]]\nname = 'rx'\nkind = 'tuner'\nlicences = 10\ntuners = 4\ninputs = 2\n"
                                  "[[card]]\nname = 'A1'\nmodel = 'rx'\n");
    auto signal = test::one_lane_everywhere(room.venue);
    signal.reach.push_back({{"A1", "in2"}, {{{"west", {2}}, true, Gain::db(5), {}}}});  // no single cable
    signal.user_bands = {{{"ms", "out1"}, 1, {}, {"A1", "in1"}}};
    const auto l = assigned(room.venue, signal);
    REQUIRE(l.lines.size() == 1);
    CHECK(l.lines[0].find("assignment.no-user-band: card A1: carrier w2 finds no free user band") != std::string::npos);
}

TEST_CASE("in-house inputs go to encoder inputs with their connector and format", "[unit]") {
    const std::string text =
        "[[card_model]]\nname = 'enc'\nkind = 'encoder'\nlicences = 4\ninputs = 2\nconnectors = ['sdi']\nformats = ['1080p50']\n"
        "[[card]]\nname = 'E1'\nmodel = 'enc'\n[[card]]\nname = 'E2'\nmodel = 'enc'\n"
        "[[input]]\nname = 'a'\nconnector = 'sdi'\nformat = '1080p50'\nrate = '6 Mbit/s'\n"
        "[[input]]\nname = 'b'\nconnector = 'sdi'\nrate = '6 Mbit/s'\n"
        "[[input]]\nname = 'c'\nconnector = 'sdi'\nformat = '1080p50'\nrate = '6 Mbit/s'\n"
        "[[input]]\nname = 'd'\nconnector = 'hdmi'\nrate = '6 Mbit/s'\n"
        "[[channel]]\nnumber = 1\nname = 'A'\ninput = 'a'\n[[channel]]\nnumber = 2\nname = 'B'\ninput = 'b'\n"
        "[[channel]]\nnumber = 3\nname = 'C'\ninput = 'c'\n[[channel]]\nnumber = 4\nname = 'D'\ninput = 'd'\n"
        "[[channel]]\nnumber = 5\nname = 'A again'\ninput = 'a'\n";
    const auto l = assigned(text);
    CHECK(l.assignment.homes.size() == 4);
    CHECK(l.card_of(1) == l.card_of(5));  // one source, one encoder input
    for (const auto& home : l.assignment.homes) {
        REQUIRE(home.encoder_input);
        CHECK(*home.encoder_input <= 2);
        CHECK(home.input == "in" + std::to_string(*home.encoder_input));
    }
    REQUIRE(l.lines.size() == 1);
    CHECK(l.lines[0].find("channel 4: no encoder card takes input d (hdmi)") != std::string::npos);
}

TEST_CASE("an encoder input that the card no longer has is not kept", "[unit]") {
    const std::string text =
        "[[card_model]]\nname = 'enc'\nkind = 'encoder'\nlicences = 4\ninputs = 2\nconnectors = ['sdi']\n"
        "[[card]]\nname = 'E1'\nmodel = 'enc'\n[[input]]\nname = 'a'\nconnector = 'sdi'\nrate = '6 Mbit/s'\n"
        "[[input]]\nname = 'b'\nconnector = 'sdi'\nrate = '6 Mbit/s'\n"
        "[[channel]]\nnumber = 1\nname = 'A'\ninput = 'a'\n[[channel]]\nnumber = 2\nname = 'B'\ninput = 'b'\n";
    const auto l = assigned(text, {{{1, 0}, 1, "a", "E1", 4}, {{2, 0}, 1, "b", "E1", 2}});
    REQUIRE(l.assignment.homes.size() == 2);
    CHECK(l.assignment.homes[0].encoder_input == 1);
    CHECK(l.assignment.homes[1].encoder_input == 2);
}

TEST_CASE("a card that is asked for is used, and one that cannot is reported", "[unit]") {
    const auto l = assigned(lineup_text({2}, "card = 'A2'") + cards_text(5, 2, 2));
    CHECK(l.lines == Lines{});
    CHECK(l.card_of(101) == "A2");
    auto room = test::lineup_room(lineup_text({1}, "card = 'A2'") + cards_text(5, 2, 2));
    auto signal = test::one_lane_everywhere(room.venue);
    signal.reach.pop_back();  // nothing at A2
    const auto refused = assigned(room.venue, signal);
    REQUIRE(refused.lines.size() == 1);
    CHECK(refused.lines[0].find("assignment.card-cannot: channel 101: card A2 cannot carry it") != std::string::npos);
    CHECK(refused.card_of(101) == "A1");
}

TEST_CASE("a protected channel carried twice is on two cards", "[unit]") {
    const auto l = assigned(lineup_text({3}, "protected = true") + cards_text(5, 2, 3) + "[protection]\nmode = 'twice'\n");
    CHECK(l.lines == Lines{});
    CHECK(l.assignment.homes.size() == 6);
    for (const std::uint32_t n : {101U, 102U, 103U}) {
        CHECK_FALSE(l.card_of(n, 1).empty());
        CHECK_FALSE(l.card_of(n, 2).empty());
        CHECK(l.card_of(n, 1) != l.card_of(n, 2));
    }
}

TEST_CASE("with reserve an idle standby counts as a card", "[unit]") {
    // 5 protected channels of one carrier fill one card of 5; the loss of it needs another.
    const auto l = assigned(lineup_text({5}, "protected = true") + cards_text(5, 2, 3));
    CHECK(l.lines == Lines{});
    REQUIRE(l.assignment.proofs.size() == 1);
    CHECK(l.assignment.proofs[0].cards == 2);
    CHECK(l.assignment.proofs[0].proven);
    CHECK(l.assignment.proofs[0].why == "1 is not enough: after a loss 5 licences needed, 0 left");
}

TEST_CASE("installed cards come before stored ones, and bought ones last", "[unit]") {
    const std::string text = lineup_text({8}) +
                             "[[card_model]]\nname = 'rx'\nkind = 'tuner'\nlicences = 5\ntuners = 2\n"
                             "[[card]]\nname = 'new'\nmodel = 'rx'\nstate = 'buy'\n"
                             "[[card]]\nname = 'spare'\nmodel = 'rx'\nstate = 'store'\n"
                             "[[card]]\nname = 'old'\nmodel = 'rx'\n";
    const auto l = assigned(text);
    CHECK(l.lines == Lines{});
    CHECK(l.assignment.to_buy.empty());
    for (std::uint32_t n = 101; n <= 108; ++n) CHECK(l.card_of(n) != "new");
}

TEST_CASE("licences of a chassis and of the site limit its cards together", "[unit]") {
    const std::string head = lineup_text({8}) + "[[card_model]]\nname = 'rx'\nkind = 'tuner'\nlicences = 5\ntuners = 2\n";
    const std::string cards = "[[card]]\nname = 'A1'\nmodel = 'rx'\nchassis = 'A'\n[[card]]\nname = 'A2'\nmodel = 'rx'\nchassis = 'A'\n";
    CHECK(assigned(head + cards + "[[chassis]]\nname = 'A'\nslots = 4\nlicences = 8\n").assignment.unplaced.empty());
    const auto cut = assigned(head + cards + "[[chassis]]\nname = 'A'\nslots = 4\nlicences = 6\n");
    CHECK(cut.assignment.unplaced.size() == 2);
    CHECK(cut.lines[0].find("8 licences needed, 6 available") != std::string::npos);
    const auto site = assigned(lineup_text({8}) +
                               "[[card_model]]\nname = 'rx'\nkind = 'tuner'\nlicences = 5\nsite_licences = 7\ntuners = 2\n"
                               "[[card]]\nname = 'A1'\nmodel = 'rx'\n[[card]]\nname = 'A2'\nmodel = 'rx'\n");
    CHECK(site.assignment.unplaced.size() == 1);
}

TEST_CASE("cards to come need a free slot of their kind", "[unit]") {
    const std::string text = lineup_text({8}) +
                             "[[card_model]]\nname = 'rx'\nkind = 'tuner'\nlicences = 5\ntuners = 2\n"
                             "[[card]]\nname = 'A1'\nmodel = 'rx'\nchassis = 'A'\nslot = 1\n"
                             "[[card]]\nname = 'new'\nmodel = 'rx'\nchassis = 'A'\nstate = 'buy'\n";
    CHECK(assigned(text + "[[chassis]]\nname = 'A'\nslots = 2\n").assignment.unplaced.empty());
    CHECK(assigned(text + "[[chassis]]\nname = 'A'\nslots = 2\ntuner_slots = [1]\n").assignment.unplaced.size() == 3);
}

TEST_CASE("what a card sends is limited at the layer its data sheet names", "[unit]") {
    // 4 channels of 5 Mbit/s are 20 Mbit/s of transport packets; on the wire each datagram of 1316
    // bytes takes 66 more (8 preamble, 14 Ethernet, 20 IP, 8 UDP, 4 FCS, 12 gap): 21.003 Mbit/s.
    const auto unplaced = [](const std::string& limit) {
        return assigned(lineup_text({4}) +
                        "[[card_model]]\nname = 'rx'\nkind = 'tuner'\nlicences = 5\ntuners = 2\n" + limit +
                        "[[card]]\nname = 'A1'\nmodel = 'rx'\n").assignment.unplaced.size();
    };
    CHECK(unplaced("output_limit = '20 Mbit/s'\n") == 0);
    CHECK(unplaced("output_limit = '19.9 Mbit/s'\n") == 1);
    CHECK(unplaced("output_limit = '20 Mbit/s'\noutput_layer = 'wire'\n") == 1);
    CHECK(unplaced("output_limit = '21.1 Mbit/s'\noutput_layer = 'wire'\n") == 0);
}

TEST_CASE("channels apart from each other and genres to be spread are on different cards", "[unit]") {
    auto room = test::lineup_room(lineup_text({2}) + cards_text(5, 2, 2));
    room.venue.channels[1].apart_from = {{101, 0}};
    const auto apart = assigned(room.venue, test::one_lane_everywhere(room.venue));
    CHECK(apart.assignment.unplaced.empty());
    CHECK(apart.card_of(101) != apart.card_of(102));
    const auto spread = assigned(lineup_text({3}, "genre = 'news'") + cards_text(5, 2, 2) + "[protection]\nspread = ['news']\n");
    CHECK(spread.assignment.unplaced.empty());
    CHECK((spread.card_of(101) != spread.card_of(102) || spread.card_of(101) != spread.card_of(103)));
}
