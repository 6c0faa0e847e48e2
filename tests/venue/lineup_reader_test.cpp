// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include <set>

#include "mastline/venue/section.hpp"
#include "support/lineup_room.hpp"

using namespace mastline;
using test::lineup_room;
using Lines = std::vector<std::string>;

TEST_CASE("a service is read with its programme, and the PCR is taken from the video", "[unit]") {
    auto room = lineup_room(R"(
[[service]]
name = "meadow-hd"
carrier = "w1"
program_number = 1201
provider = "Meadow"
pmt_pid = 0x100
rate = "8 Mbit/s"
peak = "12 Mbit/s"
component = [{ pid = 0x102, kind = "aac", language = "eng" }, { pid = 0x101, kind = "h264" }]
)");
    CHECK(room.lines() == Lines{});
    REQUIRE(room.venue.services.size() == 1);
    const Programme& p = room.venue.services[0].programme;
    CHECK(p.program_number.value == 1201);
    CHECK(p.service_name == "meadow-hd");
    CHECK(p.provider == "Meadow");
    CHECK(p.pmt_pid == Pid(0x100));
    CHECK(p.pcr_pid == Pid(0x101));
    CHECK(p.rate == megabits_per_second(8));
    CHECK(p.peak == megabits_per_second(12));
    REQUIRE(p.components.size() == 2);
    CHECK(p.components[0].language == "eng");
}

TEST_CASE("an in-house input takes the name of its channel and usual PIDs", "[unit]") {
    auto room = lineup_room(R"(
[[input]]
name = "control-room-1"
connector = "sdi"
format = "1080p50"
rate = "10 Mbit/s"
[[channel]]
number = 900
name = "House feed"
input = "control-room-1"
)");
    CHECK(room.lines() == Lines{});
    REQUIRE(room.venue.inputs.size() == 1);
    const Programme& p = room.venue.inputs[0].programme;
    CHECK(p.service_name == "House feed");
    CHECK(p.program_number.value == 1);
    CHECK(p.pmt_pid == Pid(256));
    CHECK(p.pcr_pid == Pid(257));
    CHECK(p.components.size() == 2);
}

TEST_CASE("channels come in order of number, sub-channels after their main number", "[unit]") {
    auto room = lineup_room(R"(
[[input]]
name = "a"
connector = "sdi"
rate = "1 Mbit/s"
[[channel]]
number = "5.10"
name = "d"
input = "a"
[[channel]]
number = 12
name = "e"
input = "a"
class = "uhd"
protected = true
apart_from = [5, "5.2"]
group = "239.1.1.12"
port = 5010
[[channel]]
number = "5.2"
name = "c"
input = "a"
[[channel]]
number = 5
name = "b"
input = "a"
)");
    CHECK(room.lines() == Lines{});
    Lines numbers;
    for (const auto& c : room.venue.channels) numbers.push_back(to_text(c.number));
    CHECK(numbers == Lines{"5", "5.2", "5.10", "12"});
    const Channel& last = room.venue.channels.back();
    CHECK(last.picture == PictureClass::uhd);
    CHECK(last.is_protected);
    CHECK(last.apart_from == std::vector<ChannelNumber>{{5, 0}, {5, 2}});
    CHECK(to_text(*last.group) == "239.1.1.12");
    CHECK(last.port->number == 5010);
}

TEST_CASE("a card takes what it does not say from its model and chassis", "[unit]") {
    auto room = lineup_room(R"(
[[card_model]]
name = "rx8"
kind = "tuner"
licences = 20
tuners = 8
inputs = 2
licence_inputs = [1, 2]
systems = ["dvb-s", "dvb-s2"]
window_low = "-60 dBm"
window_high = "-30 dBm"
output_limit = "850 Mbit/s"
output_layer = "wire"
[[chassis]]
name = "A"
slots = 6
attached_to = "core-1"
source = "10.0.0.10"
port_speed = "1 Gbit/s"
[[card]]
name = "A1"
model = "rx8"
chassis = "A"
slot = 1
[[card]]
name = "A2"
model = "rx8"
chassis = "A"
licences = 12
source = "10.0.0.12"
[[card]]
name = "spare"
model = "rx8"
state = "buy"
count = 2
wired_like = "A1"
)");
    CHECK(room.lines() == Lines{});
    REQUIRE(room.venue.cards.size() == 4);
    const auto& cards = room.venue.cards;
    CHECK(cards[0].licences == 20);
    CHECK(to_text(*cards[0].source) == "10.0.0.10");
    CHECK(cards[0].attached_to == "core-1");
    CHECK(cards[1].licences == 12);
    CHECK(to_text(*cards[1].source) == "10.0.0.12");
    CHECK(cards[2].name == "spare-1");
    CHECK(cards[3].name == "spare-2");
    CHECK(cards[3].state == CardState::buy);
    CHECK(room.venue.card_models[0].output_layer == RateLayer::wire);
}

TEST_CASE("protection is by reserve against one card unless the venue says otherwise", "[unit]") {
    CHECK(lineup_room("").venue.protection.mode == ProtectionMode::reserve);
    const auto said = lineup_room("[protection]\nmode = 'twice'\nscope = 'chassis'\nprefer = 'cheapest'\n");
    CHECK(said.venue.protection.mode == ProtectionMode::carried_twice);
    CHECK(said.venue.protection.scope == ProtectionScope::chassis);
    CHECK(said.venue.protection.prefer == CardPreference::cheapest);
}

TEST_CASE("a second carriage has a group of its own, or waits in that of the first", "[unit]") {
    CHECK(lineup_room("[protection]\nmode = 'twice'\n").venue.protection.second == SecondCarriage::own_group);
    const auto same = lineup_room("[protection]\nsecond = 'same-group'\nmode = 'twice'\n");
    CHECK(same.venue.protection.second == SecondCarriage::same_group);
    CHECK(same.findings.empty());
}

TEST_CASE("nothing is said of a second carriage where there is none", "[input]") {
    const auto room = lineup_room("[protection]\nsecond = 'same-group'\n");
    REQUIRE(room.findings.size() == 1);
    CHECK(room.findings[0].id == "lineup.second-without-twice");
    CHECK(room.findings[0].cure == "set mode = \"twice\", or leave second out");
}

TEST_CASE("channel numbers are read as written and nothing else is one", "[unit]") {
    CHECK(parse_channel_number("101") == ChannelNumber{101, 0});
    CHECK(parse_channel_number("5.1") == ChannelNumber{5, 1});
    CHECK(parse_channel_number("4294967295") == ChannelNumber{4294967295, 0});
    for (const auto* text : {"", "0", "007", "5.", ".5", "5.0", "5.01", "-3", "+3", "5.1.2", " 5", "5a",
                             "4294967296", "1e3"})
        CHECK_FALSE(parse_channel_number(text));
}

TEST_CASE("every key of the lineup's tables has a meaning and stands once", "[unit]") {
    for (const auto& section : lineup_sections())
        for (const auto* doc : section.docs) {
            CHECK_FALSE(doc->meaning.empty());
            std::set<std::string_view> names;
            for (const auto& key : doc->keys) {
                CHECK_FALSE(key.meaning.empty());
                CHECK(names.insert(key.name).second);
            }
        }
}
