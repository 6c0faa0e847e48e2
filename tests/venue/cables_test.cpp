// SPDX-License-Identifier: Apache-2.0
#include "mastline/venue/cables.hpp"

#include <catch2/catch.hpp>

#include "support/signal_room.hpp"

using namespace mastline;
using namespace mastline::test;

namespace {

const Cable& built_in(const std::string& name) {
    for (const auto& cable : built_in_cables())
        if (cable.name == name) return cable;
    throw std::runtime_error("no cable " + name);
}

double loss_of_100_ft(const Cable& cable, double mhz, double celsius = 20) {
    return cable_loss(cable, frequency_of_megahertz(mhz), length_of_feet(100),
                      Temperature::celsius(celsius))
        .db();
}

CablePoint point(double mhz, double db) { return {frequency_of_megahertz(mhz), Gain::db(db)}; }

}  // namespace

TEST_CASE("the RG-6 class meets published tables to 0.3 dB per 100 ft from 50 to 2150 MHz", "[outside]") {
    const auto& rg6 = built_in("rg6");
    // A public cable-loss article: channels 2, 13, 14 and 51 (57, 213, 473, 695 MHz) and the edges
    // of the satellite IF; a Series 6 data sheet: 270 and 1000 MHz; a tip sheet for cable
    // technicians: 750 MHz.
    const std::pair<double, double> table[] = {{57, 1.5},   {213, 3.0}, {270, 3.24},
                                               {473, 4.5},  {695, 5.6}, {750, 5.5},
                                               {950, 6.4},  {1000, 6.54}, {2150, 9.7}};
    for (const auto& [mhz, db] : table) {
        INFO(mhz << " MHz");
        CHECK(loss_of_100_ft(rg6, mhz) == Approx(db).margin(0.3));
    }
}

TEST_CASE("the RG-59 and RG-11 classes meet drop-cable tables to 0.3 dB per 100 ft", "[outside]") {
    // Typical maxima of drop cable at 20 C (from memory).
    const double mhz[] = {55, 211, 450, 750, 1000};
    const double rg59[] = {2.05, 3.80, 5.40, 6.97, 8.12}, rg11[] = {0.96, 1.90, 2.75, 3.65, 4.35};
    for (std::size_t i = 0; i < 5; ++i) {
        INFO(mhz[i] << " MHz");
        CHECK(loss_of_100_ft(built_in("rg59"), mhz[i]) == Approx(rg59[i]).margin(0.3));
        CHECK(loss_of_100_ft(built_in("rg11"), mhz[i]) == Approx(rg11[i]).margin(0.3));
    }
}

TEST_CASE("the attenuation law gives the printed figure of the MIL-C-17 tables", "[outside]") {
    // K1 = 0.444, K2 = 0.00126 at 100 MHz: 4.44 + 0.126 = 4.566 dB per 100 ft.
    Cable cable;
    cable.fit.root_term = Gain::db(0.444);
    cable.fit.linear_term = Gain::db(0.00126);
    CHECK(cable_loss(cable, frequency_of_megahertz(100), Length(100)).db() == Approx(4.566));
}

TEST_CASE("two points are met exactly and the law predicts a third", "[outside]") {
    // 950 MHz 6.4 dB and 2150 MHz 9.7 dB per 100 ft; a data sheet of the same class says 6.54 dB
    // at 1000 MHz, which was not fitted.
    const CablePoint points[] = {point(950, 6.4), point(2150, 9.7)};
    const auto fit = fit_cable(points);
    CHECK(fit.root_term.db() == Approx(0.204566).epsilon(1e-4));
    CHECK(fit.linear_term.db() == Approx(0.00009984).epsilon(1e-3));
    CHECK(fit.worst_error.db() == Approx(0).margin(1e-9));
    CHECK(fit.root_term.db() * std::sqrt(1000.0) + fit.linear_term.db() * 1000 ==
          Approx(6.54).margin(0.03));
}

TEST_CASE("points that grow more slowly than the root are fitted with their error shown", "[unit]") {
    const CablePoint points[] = {point(100, 4.0), point(400, 6.0)};
    const auto fit = fit_cable(points);
    CHECK(fit.linear_term.db() == 0);
    CHECK(fit.worst_error.db() > 0.5);
    CHECK(fit.low == frequency_of_megahertz(100));
    CHECK(fit.high == frequency_of_megahertz(400));
}

TEST_CASE("warm cable loses more, as a published example works out", "[outside]") {
    // CATV technicians' tip: 200 ft at 0.055 dB/ft and 100 F, A (1 + 0.0011 (F - 68)) = 11.387 dB.
    Cable cable;
    cable.fit.root_term = Gain::db(0.055 * 100 / 0.3048);  // at 1 MHz, per 100 m
    cable.per_kelvin_percent = 0.11 * 1.8;
    const auto hot = parse_temperature("100 F");
    REQUIRE(hot);
    CHECK(cable_loss(cable, frequency_of_megahertz(1), length_of_feet(200), *hot).db() ==
          Approx(11.387).margin(0.001));
    // 20 dB at 20 C is 21.2 dB at 50 C and 18.4 dB at -20 C with 0.2 % per degree.
    Cable plain;
    plain.fit.root_term = Gain::db(20);
    const auto at = [&](double c) {
        return cable_loss(plain, frequency_of_megahertz(1), Length(100), Temperature::celsius(c)).db();
    };
    CHECK(at(50) == Approx(21.2));
    CHECK(at(-20) == Approx(18.4));
}

TEST_CASE("a cable of the venue's own is fitted to its points, per the length it says", "[unit]") {
    const auto room = signal_room("[[cable]]\nname = 'drop'\nper = '100 ft'\nloss = ['6.4 dB at 950 MHz', "
                                  "'9.7 dB at 2150 MHz']\nloop_resistance = '4 ohm'\n");
    CHECK(room.lines().empty());
    REQUIRE(room.venue.cables.size() == 1);
    const auto& cable = room.venue.cables[0];
    CHECK(loss_of_100_ft(cable, 950) == Approx(6.4));
    CHECK(loss_of_100_ft(cable, 2150) == Approx(9.7));
    CHECK(cable.loop_resistance->ohms() == Approx(4 / 0.3048));
}
