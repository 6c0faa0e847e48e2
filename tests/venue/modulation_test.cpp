// SPDX-License-Identifier: Apache-2.0
#include "mastline/venue/modulation.hpp"

#include <catch2/catch.hpp>

#include "mastline/venue/satellite_if.hpp"

using namespace mastline;

namespace {

Carrier carrier(std::string system, std::string modulation, std::string code_rate, double msym) {
    Carrier c;
    c.system = std::move(system);
    c.modulation = std::move(modulation);
    c.code_rate = std::move(code_rate);
    if (msym > 0) c.symbol_rate = SymbolRate(std::llround(msym * 1e6));
    return c;
}

double mbps(const Carrier& c) {
    const auto rate = transport_rate_of(c);
    return rate ? static_cast<double>(rate->bits_per_second()) / 1e6 : 0;
}

}  // namespace

TEST_CASE("DVB-S rates of EN 300 421", "[outside]") {
    // Useful rate = symbol rate * 2 r * 188/204; 30 Msym/s at 7/8 is published as 48.38 Mbit/s.
    CHECK(mbps(carrier("dvb-s", "qpsk", "1/2", 27.5)) == Approx(25.3431).margin(1e-4));
    CHECK(mbps(carrier("dvb-s", "qpsk", "2/3", 27.5)) == Approx(33.7908).margin(1e-4));
    CHECK(mbps(carrier("dvb-s", "qpsk", "3/4", 27.5)) == Approx(38.0147).margin(1e-4));
    CHECK(mbps(carrier("dvb-s", "", "5/6", 27.5)) == Approx(42.2386).margin(1e-4));
    CHECK(mbps(carrier("dvb-s", "qpsk", "7/8", 27.5)) == Approx(44.3505).margin(1e-4));
    CHECK(mbps(carrier("dvb-s", "qpsk", "7/8", 30)) == Approx(48.38).margin(0.01));
}

TEST_CASE("DVB-S2 efficiencies and thresholds of EN 302 307-1, table 13", "[outside]") {
    struct Row {
        const char *modulation, *code_rate;
        double es_n0, efficiency;
    };
    constexpr Row rows[] = {
        {"qpsk", "1/4", -2.35, 0.490243},  {"qpsk", "1/3", -1.24, 0.656448},
        {"qpsk", "2/5", -0.30, 0.789412},  {"qpsk", "1/2", 1.00, 0.988858},
        {"qpsk", "3/5", 2.23, 1.188304},   {"qpsk", "2/3", 3.10, 1.322253},
        {"qpsk", "3/4", 4.03, 1.487473},   {"qpsk", "4/5", 4.68, 1.587196},
        {"qpsk", "5/6", 5.18, 1.654663},   {"qpsk", "8/9", 6.20, 1.766451},
        {"qpsk", "9/10", 6.42, 1.788612},  {"8psk", "3/5", 5.50, 1.779991},
        {"8psk", "2/3", 6.62, 1.980636},   {"8psk", "3/4", 7.91, 2.228124},
        {"8psk", "5/6", 9.35, 2.478562},   {"8psk", "8/9", 10.69, 2.646012},
        {"8psk", "9/10", 10.98, 2.679207}, {"16apsk", "2/3", 8.97, 2.637201},
        {"16apsk", "3/4", 10.21, 2.966728}, {"16apsk", "4/5", 11.03, 3.165623},
        {"16apsk", "5/6", 11.61, 3.300184}, {"16apsk", "8/9", 12.89, 3.523143},
        {"16apsk", "9/10", 13.13, 3.567342}, {"32apsk", "3/4", 12.73, 3.703295},
        {"32apsk", "4/5", 13.64, 3.951571}, {"32apsk", "5/6", 14.28, 4.119540},
        {"32apsk", "8/9", 15.69, 4.397854}, {"32apsk", "9/10", 16.05, 4.453027}};
    for (const auto& row : rows) {
        const auto c = carrier("dvb-s2", row.modulation, row.code_rate, 1000);
        INFO(row.modulation << " " << row.code_rate);
        CHECK(mbps(c) / 1000 == Approx(row.efficiency).margin(1e-6));
        REQUIRE(threshold_of(c));
        CHECK(threshold_of(c)->db() == Approx(row.es_n0));
    }
}

TEST_CASE("DVB-S2 pilots take their symbols", "[outside]") {
    // 36 pilot symbols after each 16 slots but the last: 27.5 Msym/s.
    auto c = carrier("dvb-s2", "qpsk", "3/4", 27.5);
    CHECK(mbps(c) == Approx(40.906).margin(0.001));
    c.pilots = true;
    CHECK(mbps(c) == Approx(39.932).margin(0.001));
    auto d = carrier("dvb-s2", "8psk", "2/3", 27.5);
    d.pilots = true;
    CHECK(mbps(d) == Approx(53.231).margin(0.001));
}

TEST_CASE("terrestrial and cable rates", "[outside]") {
    // EN 300 744: 8 MHz, 64-QAM 2/3, guard 1/32: 24.13 Mbit/s.
    auto t = carrier("dvb-t", "64qam", "2/3", 0);
    t.bandwidth = Frequency(8'000'000);
    t.guard = "1/32";
    CHECK(mbps(t) == Approx(24.128).margin(0.001));
    // ATSC A/53: 4.5/286*684 MHz symbols, 312 of 313 segments carry data: 19.39 Mbit/s.
    CHECK(mbps(carrier("atsc", "8vsb", "", 0)) == Approx(19.392658).margin(1e-6));
    // EN 300 429: 6.875 MBd of 64-QAM and 6.952 MBd of 256-QAM.
    CHECK(mbps(carrier("dvb-c", "64qam", "", 6.875)) == Approx(38.015).margin(0.001));
    CHECK(mbps(carrier("dvb-c", "256qam", "", 6.952)) == Approx(51.254).margin(0.001));
    // ISDB-T, 13 segments of 64-QAM 3/4 with guard 1/8 in 6 MHz: about 18.25 Mbit/s (from memory).
    auto i = carrier("isdb-t", "64qam", "3/4", 0);
    i.bandwidth = Frequency(6'000'000);
    i.guard = "1/8";
    CHECK(mbps(i) == Approx(18.25).margin(0.01));
}

TEST_CASE("a rate is not guessed from what is not given", "[unit]") {
    CHECK_FALSE(transport_rate_of(carrier("dvb-t2", "256qam", "2/3", 0)));
    CHECK_FALSE(transport_rate_of(carrier("dvb-s", "qpsk", "3/4", 0)));
    CHECK_FALSE(transport_rate_of(carrier("dvb-s2", "qpsk", "7/8", 27.5)));
    CHECK_FALSE(threshold_of(carrier("dvb-s2", "qpsk", "", 27.5)));
    CHECK_FALSE(transport_rate_of(carrier("dvb-t", "64qam", "2/", 0)));
}

TEST_CASE("DVB-S thresholds are its Eb/N0 in the symbol rate", "[outside]") {
    // EN 300 421: Eb/N0 5.5 dB at rate 3/4 (from memory); C/N = Eb/N0 + 10 log10(2 * 3/4 * 188/204).
    CHECK(threshold_of(carrier("dvb-s", "qpsk", "3/4", 27.5))->db() == Approx(6.91).margin(0.01));
}

TEST_CASE("occupied bandwidth is the symbol rate and its roll-off", "[outside]") {
    CHECK(occupied_bandwidth(carrier("dvb-s", "qpsk", "3/4", 27.5)) == frequency_of_megahertz(37.125));
    CHECK(occupied_bandwidth(carrier("dvb-s2", "qpsk", "3/4", 27.5)) == frequency_of_megahertz(33));
    CHECK(noise_bandwidth(carrier("dvb-s", "qpsk", "3/4", 27.5)) == frequency_of_megahertz(27.5));
}

TEST_CASE("LNB arithmetic: the IF is the distance to the local oscillator", "[outside]") {
    // Local oscillators as in the satellite data of the Linux DVB library (dvb-sat.c).
    struct Row {
        double rf, lo, intermediate;
        bool inverted;
    };
    constexpr Row rows[] = {{10832, 9750, 1082, false}, {11778, 10600, 1178, false},
                            {10700, 9750, 950, false},  {11700, 9750, 1950, false},
                            {11700, 10600, 1100, false}, {12750, 10600, 2150, false},
                            {12100, 10750, 1350, false}, {12500, 11250, 1250, false},
                            {3840, 5150, 1310, true},   {10832, 10400, 432, false}};
    for (const auto& row : rows) {
        INFO(row.rf << " MHz on " << row.lo);
        CHECK(satellite_if(frequency_of_megahertz(row.rf), frequency_of_megahertz(row.lo)) ==
              SatelliteIf{frequency_of_megahertz(row.intermediate), row.inverted});
    }
}
