// SPDX-License-Identifier: Apache-2.0
#include "planner/readings/tolerances.hpp"

#include <catch2/catch.hpp>

#include "readings/small_chain.hpp"

using namespace mastline;
using namespace mastline::test;

namespace {

MeterPoint point(const std::string& device, int lane, double mhz) {
    return {{device, "in"}, LaneNumber{lane}, frequency_of_megahertz(mhz)};
}

}  // namespace

// JCGM 100:2008 (GUM) 4.3.7: what may lie anywhere within plus or minus a has the variance a^2 / 3;
// 4.3.4: a stated accuracy that is twice the standard deviation gives it by division.
TEST_CASE("tolerances and the meter's accuracy become variances as the GUM says", "[outside]") {
    auto room = small_chain();
    room.venue.runs[2].tolerance = Gain::db(1.5);  // R3, to the left
    const ChainPoints chain(room.venue, room.plan.choices, {frequency_of_megahertz(1500)});
    const auto middle = *chain.at(point("left", 1, 1500)), other = *chain.at(point("left", 2, 1500));
    const auto right = *chain.at(point("right", 1, 1500));
    const auto c = covariance(chain, {{&middle, 0, "", 1}, {&other, 0, "", 1}, {&right, 0, "", 4}},
                              Meter{Gain::db(1)});
    // In the middle of the band there is no tilt: four fifths of the variance.
    CHECK(c.parts(0, 0) == Approx(0.8 * 1.5 * 1.5 / 3));
    CHECK(c.parts(0, 1) == Approx(0.4 * 1.5 * 1.5 / 3));  // the part as a whole, shared by its lanes
    CHECK(c.parts(0, 2) == Approx(0));
    const double offset = 0.25 * 0.25;
    CHECK(c.always(0, 0) == Approx(0.5 * 0.5 + offset));
    CHECK(c.always(2, 2) == Approx(0.5 * 0.5 / 4 + offset));  // the mean of four readings
    CHECK(c.always(0, 2) == Approx(offset));
}

TEST_CASE("at the edges of the band a tolerance has its whole variance", "[outside]") {
    auto room = small_chain();
    room.venue.runs[2].tolerance = Gain::db(1.5);
    const ChainPoints chain(room.venue, room.plan.choices, {});
    const auto edge = *chain.at(point("left", 1, 2000));
    const auto c = covariance(chain, {{&edge, 0, "", 1}}, Meter{});
    CHECK(c.parts(0, 0) == Approx(1.5 * 1.5 / 3));
}

TEST_CASE("an optical tolerance counts double in RF and not at all behind a receiver that levels", "[unit]") {
    const auto chain_of = [](const std::string& levelling) {
        return signal_room("[[feed]]\nname = \"dish\"\n[[feed.lane]]\nband_low = \"1000 MHz\"\nband_high = \"2000 MHz\"\n"
                           "level = \"-30 dBm\"\n"
                           "[[device]]\nname = \"tx\"\nkind = \"optical-transmitter\"\nlaunch_power = \"5 dBm\"\n"
                           "[[device]]\nname = \"rx\"\nkind = \"optical-receiver\"\ngain = \"10 dB\"\n"
                           "optical_reference = \"3 dBm\"\n" + levelling +
                           "[[run]]\nname = \"A\"\nfrom = \"dish\"\nto = \"tx\"\nloss = \"1 dB\"\n"
                           "[[run]]\nname = \"F\"\nfrom = \"tx\"\nto = \"rx\"\ncable = \"single-mode\"\nlength = \"100 m\"\n"
                           "tolerance = \"0.6 dB\"\ntolerance_percent = 0\n");
    };
    const auto variance = [&](const std::string& levelling) {
        const auto room = chain_of(levelling);
        REQUIRE_FALSE(has_errors(room.findings));
        const ChainPoints chain(room.venue, room.plan.choices, {frequency_of_megahertz(1500)});
        const auto p = *chain.at({{"rx", "out"}, LaneNumber{1}, frequency_of_megahertz(1500)});
        return covariance(chain, {{&p, 0, "", 1}}, Meter{}).parts(0, 0);
    };
    CHECK(variance("") == Approx(0.8 * 1.2 * 1.2 / 3));
    CHECK(variance("levelling = \"gain-held\"\n") == Approx(0));
}
