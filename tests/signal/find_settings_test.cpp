// SPDX-License-Identifier: Apache-2.0
#include "mastline/signal/find_settings.hpp"

#include <catch2/catch.hpp>

#include "mastline/signal/lists.hpp"
#include "signal/settings_oracle.hpp"
#include "support/signal_room.hpp"

using namespace mastline;
using namespace mastline::test;

namespace find_settings_test {

namespace {

// A lane at -20 dBm +- 1 dB, an amplifier of 20 dB, a pad place and an input.
std::string chain(const std::string& amplifier, const std::string& place, const std::string& end,
                  const std::string& stock = "", int lanes = 1) {
    std::string out = "[[feed]]\nname = 'w'\n";
    for (int i = 0; i < lanes; ++i)
        out += "[[feed.lane]]\nband_low = '950 MHz'\nband_high = '2150 MHz'\nlevel = '-20 dBm'\ntolerance = '1 dB'\n";
    const auto width = "lanes = " + std::to_string(lanes) + "\n";
    return out + "[[device]]\nname = 'amp'\nkind = 'amplifier'\ngain = '20 dB'\n" + width + amplifier +
           "\n[[device]]\nname = 'place'\nkind = 'pad'\n" + width + place +
           "\n[[device]]\nname = 'end'\nkind = 'pad'\nloss = '0 dB'\n" + width + end +
           "\n[[run]]\nname = 'R1'\nfrom = 'w'\nto = 'amp'\nloss = '0 dB'\n[[run]]\nname = 'R2'\nfrom = 'amp'\nto = 'place'\n"
           "loss = '0 dB'\n[[run]]\nname = 'R3'\nfrom = 'place'\nto = 'end'\nloss = '0 dB'\n" + stock;
}

const std::string kTrim = "trim_low = '-10 dB'\n";
std::string window(double low, double high) {
    return "window_low = '" + std::to_string(low) + " dBm'\nwindow_high = '" + std::to_string(high) + " dBm'\n";
}
std::string pads(const std::string& loss, int count, const std::string& more = "") {
    return "[[stock.pad]]\nloss = '" + loss + "'\ncount = " + std::to_string(count) + "\n" + more;
}

const Finding* found(const SignalRoom& room, std::string_view id) {
    for (const auto& f : room.planned)
        if (f.id == id) return &f;
    return nullptr;
}

}  // namespace

TEST_CASE("settings found on 300 random trees are as good as GLPK's", "[property]") {
    int impossible = 0, with_pads = 0;
    for (std::uint32_t seed = 1; seed <= 300; ++seed) {
        const auto tree = random_tree(seed);
        const auto expected = ask_glpk(tree);
        impossible += !expected.possible;
        with_pads += expected.pads > 0;
        const auto room = loaded_signal_room(venue_text(tree));
        INFO("seed " << seed << "\n" << venue_text(tree));
        REQUIRE(room.lines().empty());
        Findings findings;
        const auto settings = find_settings(room.venue, findings);
        std::vector<std::string> faults;
        const double margin = margin_under(tree, room.venue, settings.choices, faults);
        REQUIRE(settings.margin);
        CHECK(settings.margin->db() == Approx(expected.margin).margin(0.01));
        CHECK(has_errors(findings) == !expected.possible);
        if (expected.possible) {
            CHECK(faults == std::vector<std::string>{});
            CHECK(margin == Approx(expected.margin).margin(0.01));
            CHECK(settings.pads == expected.pads);
        }
    }
    // The trees are of all sorts.
    CHECK(impossible > 15);
    CHECK(impossible < 200);
    CHECK(with_pads > 30);
}

TEST_CASE("the found trim stands in the middle of the window", "[unit]") {
    const auto room = signal_room(chain(kTrim, "pads = ['none']", window(-10, 0)));
    CHECK(room.plan_lines().empty());
    CHECK(room.plan.choices[0].trim[0].db() == Approx(-5));
    CHECK(room.at("end", "in").margin->db() == Approx(4));
    const auto list = settings_list(room.venue, room.plan);
    REQUIRE(list.size() == 2);
    CHECK_FALSE(list[0].given);
    CHECK(list[1].given);
}

TEST_CASE("a stepped trim is found on its steps, counted from the low end", "[unit]") {
    const auto room = signal_room(chain("trim_low = '-10 dB'\ntrim_step = '3 dB'", "pads = ['none']", window(-9, 1)));
    CHECK(room.plan.choices[0].trim[0].db() == Approx(-4));
    CHECK(room.at("end", "in").margin->db() == Approx(4));
}

TEST_CASE("settings that the engineer gave are kept, and their pads leave the stock", "[unit]") {
    const auto room = signal_room(
        chain(kTrim + "trim = ['-1 dB']", "pads = ['6 dB', 'none']\n", window(-30, 30), pads("6 dB", 1), 2));
    CHECK(room.plan.choices[0].trim[0].db() == -1);
    CHECK(room.plan.choices[1].pads[0]->loss.db() == 6);
    CHECK_FALSE(room.plan.choices[1].pads[1]);
    Findings findings;
    CHECK_FALSE(find_settings(room.venue, findings).margin);
}

TEST_CASE("pads are fitted only where they are needed for the margin", "[unit]") {
    // 0 dBm into -12 to -2 dBm: trim alone can do it, and no pad is spent.
    const auto enough = signal_room(chain(kTrim, "", window(-12, -2), pads("6 dB", 4)));
    CHECK_FALSE(enough.plan.choices[1].pads[0]);
    // With 3 dB of trim the middle is out of reach but for a pad.
    const auto needed = signal_room(chain("trim_low = '-3 dB'", "", window(-12, -2), pads("6 dB", 4)));
    REQUIRE(needed.plan.choices[1].pads[0]);
    CHECK(needed.plan.choices[0].trim[0].db() == Approx(-1));
    CHECK(needed.at("end", "in").margin->db() == Approx(4));
}

TEST_CASE("stocked pads are shared over the lanes, and their tolerance counts", "[unit]") {
    const auto end = window(-12, -2);
    const auto room = signal_room(chain("", "", end, pads("6 dB", 1) + pads("10 dB", 5, "tolerance = '0.5 dB'\n"), 2));
    const auto& place = room.plan.choices[1];
    REQUIRE(place.pads[0]);
    REQUIRE(place.pads[1]);
    CHECK(place.pads[0]->loss.db() + place.pads[1]->loss.db() >= 16);  // 6 dB once at most
    // The 10 dB pad: -10 dBm +- 1.5 dB, 0.5 dB above the low end.
    Findings findings;
    CHECK(find_settings(room.venue, findings).margin->db() == Approx(0.5));
    CHECK(findings.empty());
}

TEST_CASE("slope is one for all lanes and evens out the cable", "[unit]") {
    const auto room = signal_room(chain("slope_high = '12 dB'\nslope_step = '1 dB'\ntrim_low = '-20 dB'", "pads = ['none']",
                                        window(-20, 0), "[[cable]]\nname = 'c'\nloss = ['1 dB at 1 MHz', '1 dB at 2 MHz']\n", 2));
    CHECK(room.plan.choices[0].slope.db() == 0);
    auto text = chain("slope_high = '12 dB'\nslope_step = '1 dB'\ntrim_low = '-20 dB'", "pads = ['none']", window(-40, 0), "", 2);
    const std::string flat = "to = 'end'\nloss = '0 dB'";
    text.replace(text.find(flat), flat.size(), "to = 'end'\ncable = 'steep'\nlength = '100 m'");
    const auto steep = signal_room("[[cable]]\nname = 'steep'\ntolerance_percent = 0\nloss = ['10 dB at 950 MHz', '16 dB at 2150 MHz']\n" + text);
    CHECK(steep.plan.choices[0].slope.db() == 6);
    CHECK(steep.at("end", "in", 1).low.nominal.dbm() == Approx(-20));
    CHECK(steep.at("end", "in", 2).high.nominal.dbm() == Approx(-20));
}

TEST_CASE("a tap left open takes the stocked value that suits both its ways", "[unit]") {
    const std::string venue =
        "[[feed]]\nname = 'w'\n[[feed.lane]]\nband_low = '950 MHz'\nband_high = '2150 MHz'\nlevel = '0 dBm'\n"
        "[[device]]\nname = 't'\nkind = 'tap'\n[[device]]\nname = 'a'\nkind = 'pad'\nloss = '0 dB'\n" + window(-20, -10) +
        "[[device]]\nname = 'b'\nkind = 'pad'\nloss = '0 dB'\n" + window(-6, 2) +
        "[[run]]\nfrom = 'w'\nto = 't'\nloss = '0 dB'\n[[run]]\nfrom = 't.tap'\nto = 'a'\nloss = '0 dB'\n"
        "[[run]]\nfrom = 't.out'\nto = 'b'\nloss = '0 dB'\n";
    const auto tap = [](double value, double through) {
        return "[[stock.tap]]\ntap_loss = '" + std::to_string(value) + " dB'\nthrough_loss = '" + std::to_string(through) + " dB'\n";
    };
    const auto room = signal_room(venue + tap(10, 3) + tap(16, 1) + tap(20, 0.6));
    CHECK(room.plan.choices[0].tap == 1);
    CHECK(room.at("a", "in").margin->db() == Approx(4));
    const auto none = signal_room(venue);
    REQUIRE(none.lines().size() == 1);
    CHECK(none.lines()[0].find("device.no-tap-stocked") != std::string::npos);
}

TEST_CASE("no found trim drives an amplifier beyond its greatest output", "[unit]") {
    const auto room = signal_room(chain(kTrim + "maximum_output = '-7 dBm'", "pads = ['none']", window(-12, 0)));
    CHECK(room.plan_lines().empty());
    CHECK(room.plan.choices[0].trim[0].db() == Approx(-8).margin(1e-4));
}

TEST_CASE("what no settings can meet is named, by how much and what cures it", "[unit]") {
    const auto hot = signal_room(chain("", "", window(-25, -15), pads("6 dB", 4)));
    const auto* finding = found(hot, "settings.impossible");
    REQUIRE(finding);
    CHECK(finding->subject == "end.in lane 1 (w/1)");
    CHECK(finding->amount == "10.0 dB");
    CHECK(finding->cure == "the cheapest change is a pad of 10 dB in run R1");
    CHECK(hot.plan.choices[1].pads[0]->loss.db() == 6);  // misses by least
    const auto weak = signal_room(chain("", "pads = ['6 dB']\n", window(4, 14)));
    CHECK_FALSE(found(weak, "settings.impossible"));  // nothing is open: the window is judged as ever
    const auto short_of = signal_room(chain(kTrim, "pads = ['none']\n", window(4, 14)));
    REQUIRE(found(short_of, "settings.impossible"));
    CHECK(found(short_of, "settings.impossible")->amount == "5.0 dB");
    CHECK(found(short_of, "settings.impossible")->cure.rfind("the cheapest change is an amplifier with a gain of 5 dB in run R", 0) == 0);
    const auto narrow = signal_room(chain(kTrim, "pads = ['none']\n", window(-5, -4)));
    REQUIRE(found(narrow, "settings.impossible"));
    CHECK(found(narrow, "settings.impossible")->amount == "0.5 dB");
    CHECK(found(narrow, "settings.impossible")->cure.find("lessen tolerances") != std::string::npos);
}

TEST_CASE("a run that is too long is to be shortened", "[unit]") {
    auto text = chain(kTrim, "pads = ['none']", window(-10, 10));
    const std::string flat = "to = 'end'\nloss = '0 dB'";
    text.replace(text.find(flat), flat.size(), "to = 'end'\ncable = 'rg6'\nlength = '60 m'");
    const auto room = signal_room(text);
    const auto* finding = found(room, "settings.impossible");
    REQUIRE(finding);
    CHECK(finding->cure.find("run R3 shortened to ") != std::string::npos);
}

TEST_CASE("given settings off the range or the steps are errors", "[input]") {
    const auto line = [](const std::string& amplifier) {
        const auto lines = signal_room(chain(amplifier, "pads = ['none']", window(-50, 50))).lines();
        return lines.empty() ? std::string() : lines[0];
    };
    CHECK(line(kTrim + "trim = ['-11 dB']").find("error: device.setting-out-of-range: device amp: trim -11.0 dB") != std::string::npos);
    CHECK(line(kTrim + "trim_step = '3 dB'\ntrim = ['-5 dB']").find("device.setting-off-step") != std::string::npos);
    CHECK(line(kTrim + "trim_step = '3 dB'\ntrim = ['-4 dB']").empty());
    CHECK(line("slope_high = '6 dB'\nslope = '7 dB'").find("device.setting-out-of-range") != std::string::npos);
    CHECK(line("slope_high = '6 dB'\nslope_step = '2 dB'\nslope = '3 dB'").find("device.setting-off-step") != std::string::npos);
    CHECK(signal_room(chain("", "", window(-50, 50), "[[stock.pad]]\nloss = '6 dB'\ncount = -1\n")).lines()[0].find("count") != std::string::npos);
    CHECK(signal_room(chain("", "", window(-50, 50), "[[stock.pad]]\nloss = '6 dBm'\ncount = 1\n")).lines()[0].find("dBm") != std::string::npos);
}

}  // namespace find_settings_test
