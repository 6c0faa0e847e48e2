// SPDX-License-Identifier: Apache-2.0
#include "planner/signal/plan_power.hpp"

#include <catch2/catch.hpp>

#include "support/signal_room.hpp"

using namespace mastline;
using namespace mastline::test;

namespace dc_power_test {

namespace {

using Lines = std::vector<std::string>;

std::string feed(const std::string& current = "300 mA", const std::string& minimum = "11.5 V") {
    return "[[feed]]\nname = 'w'\nsupply_current = '" + current + "'\nsupply_minimum = '" + minimum +
           "'\n[[feed.lane]]\nband_low = '950 MHz'\nband_high = '2150 MHz'\nlevel = '-30 dBm'\n";
}

std::string cable(const std::string& ohms) {
    return "[[cable]]\nname = 'drop'\nloss = ['20 dB at 950 MHz', '31 dB at 2150 MHz']\nloop_resistance = '" + ohms +
           "'\n";
}

std::string inserter(const std::string& name, const std::string& more = "") {
    return "[[device]]\nname = '" + name + "'\nkind = 'power-inserter'\nloss = '1 dB'\nsupply_voltage = '18 V'\n" + more;
}

std::string run(const std::string& from, const std::string& to, const std::string& length = "0 m") {
    return "[[run]]\nfrom = '" + from + "'\nto = '" + to + "'\ncable = 'drop'\nlength = '" + length + "'\n";
}

struct Powered {
    SignalRoom room;
    Findings findings;
    std::vector<PowerSupply> supplies;
};

Powered powered(const std::string& toml) {
    Powered out;
    out.room = signal_room(toml);
    REQUIRE(out.room.lines() == Lines{});
    out.supplies = plan_power(out.room.venue, out.room.plan.reach, out.findings);
    return out;
}

}  // namespace

TEST_CASE("voltage drops by the current through the loop, as worked by hand", "[outside]") {
    // Waldo, NCTA 1979: V = I * R of centre and shield. Copper-clad steel of 0.125 ohm/m (from
    // memory): 0.3 A over 50 m drop 1.875 V; 18 V leave 16.125 V.
    const auto p = powered(feed() + cable("12.5 ohm") + inserter("psu") + run("w", "psu", "50 m"));
    CHECK(p.findings.empty());
    REQUIRE(p.supplies.size() == 1);
    REQUIRE(p.supplies[0].loads.size() == 1);
    const auto& load = p.supplies[0].loads[0];
    CHECK(load.part == "feed w");
    CHECK(load.voltage.volts() == Approx(16.125));
    CHECK(load.loop.ohms() == Approx(6.25));
    CHECK(p.supplies[0].load.amperes() == Approx(0.3));
}

TEST_CASE("solid copper of AWG 18 is a published resistance", "[outside]") {
    // AWG table: 6.385 ohm per 1000 ft at 20 C; 1000 ft there and back at 0.3 A drop 3.831 V.
    const auto p = powered(feed() + "[[cable]]\nname = 'drop'\nper = '1000 ft'\nloss = ['50 dB at 950 MHz', '80 dB at "
                           "2150 MHz']\nloop_resistance = '12.77 ohm'\n" + inserter("psu") + run("w", "psu", "1000 ft"));
    CHECK(18 - p.supplies[0].loads[0].voltage.volts() == Approx(3.831).margin(0.001));
}

TEST_CASE("too little voltage at a part is an error with what is missing", "[unit]") {
    // 18 V, 150 m at 0.125 ohm/m, 0.4 A: 10.5 V.
    const auto p = powered(feed("400 mA") + cable("12.5 ohm") + inserter("psu") + run("w", "psu", "150 m"));
    CHECK(SignalRoom::lines_of(p.findings) ==
          Lines{"venue.toml:1:1: error: power.under-voltage: feed w: gets 10.5 V from psu and needs 11.5 V (1 V); use a "
                "cable of less resistance, a shorter run or a higher supply voltage"});
}

TEST_CASE("current passes parts that pass DC and stops at a block", "[unit]") {
    const std::string surge = "[[device]]\nname = 'surge'\nkind = 'surge-arrestor'\nloss = '0.5 dB'\n";
    CHECK(powered(feed() + cable("1 ohm") + surge + inserter("psu") + run("w", "surge") + run("surge", "psu"))
              .findings.empty());
    const std::string block = "[[device]]\nname = 'block'\nkind = 'dc-block'\nloss = '0.5 dB'\n";
    const auto p = powered(feed() + cable("1 ohm") + block + inserter("psu") + run("w", "block") + run("block", "psu"));
    REQUIRE(p.findings.size() == 1);
    CHECK(p.findings[0].id == "power.no-supply");
    CHECK(p.findings[0].what == "nothing feeds it at w.out lane 1");
}

TEST_CASE("two supplies on one conductor are an error", "[unit]") {
    const auto p = powered(feed() + cable("1 ohm") + inserter("a", "passes_dc = true\n") + inserter("b") + run("w", "a") +
                           run("a", "b"));
    REQUIRE_FALSE(p.findings.empty());
    CHECK(to_line(p.findings[0]) ==
          "venue.toml:19:1: error: power.two-supplies: device b: and a feed one conductor at b.in; put a dc-block between "
          "them, or take one away");
}

TEST_CASE("a load of constant power draws more as its voltage falls", "[unit]") {
    // 6 W at the end of 10 ohm from 18 V: V (18 - V) / 10 = 6 gives V = 13.583 V, 0.4417 A.
    const auto p = powered("[[feed]]\nname = 'w'\n[[feed.lane]]\nband_low = '950 MHz'\nband_high = '2150 MHz'\nlevel = '-30 "
                           "dBm'\n" + cable("10 ohm") + "[[device]]\nname = 'amp'\nkind = 'amplifier'\ngain = '10 dB'\n"
                           "supply_power = '6 W'\n" + inserter("psu") + run("w", "amp") + run("amp", "psu", "100 m"));
    REQUIRE(p.supplies[0].loads.size() == 1);
    CHECK(p.supplies[0].loads[0].voltage.volts() == Approx((18 + std::sqrt(18 * 18 - 240)) / 2).margin(1e-6));
    CHECK(p.supplies[0].loads[0].current.amperes() == Approx(6 / 13.5826).margin(1e-4));
}

TEST_CASE("a supply over its limit is an error, near it a warning", "[unit]") {
    const auto with = [](const std::string& limit) {
        return powered(feed() + cable("1 ohm") + inserter("psu", "supply_limit = '" + limit + "'\n") + run("w", "psu"))
            .findings;
    };
    CHECK(with("500 mA").empty());
    REQUIRE(with("310 mA").size() == 1);
    CHECK(with("310 mA")[0].id == "power.little-reserve");
    REQUIRE(with("250 mA").size() == 1);
    CHECK(to_line(with("250 mA")[0]) == "venue.toml:13:1: error: power.overload: device psu: feeds 300 mA and can feed 250 "
                                        "mA (50 mA); feed some parts from another supply");
}

TEST_CASE("a failed supply darkens the lanes of what it feeds, and their channels", "[unit]") {
    auto room = signal_room(feed() + "[[feed]]\nname = 'e'\n[[feed.lane]]\nband_low = '950 MHz'\nband_high = '2150 MHz'\n"
                            "level = '-30 dBm'\n[[carrier]]\nname = 'c'\nfeed = 'w'\nsystem = 'dvb-s'\nfrequency = '1200 "
                            "MHz'\n" + cable("1 ohm") + inserter("psu") + run("w", "psu") +
                            "[[card_model]]\nname = 'rx'\nkind = 'tuner'\nlicences = 8\ntuners = 4\ninputs = 2\n[[card]]\n"
                            "name = 'A1'\nmodel = 'rx'\n" + run("psu", "A1.in1") + run("e", "A1.in2"));
    REQUIRE(room.lines().empty());
    Service service;
    service.name = "news", service.carrier = "c";
    room.venue.services.push_back(service);
    Channel channel;
    channel.number = {7, 0}, channel.service = "news";
    room.venue.channels.push_back(channel);
    Findings findings;
    const auto supplies = plan_power(room.venue, room.plan.reach, findings);
    REQUIRE(supplies.size() == 1);
    REQUIRE(supplies[0].dark.size() == 1);
    CHECK(supplies[0].dark[0].lane == LaneRef{"w", LaneNumber{1}});
    CHECK(supplies[0].dark[0].input == PortRef{"A1", "in1"});
    CHECK(supplies[0].dark_channels == Lines{"7"});
}

}  // namespace dc_power_test
