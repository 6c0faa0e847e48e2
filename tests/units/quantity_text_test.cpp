// SPDX-License-Identifier: Apache-2.0
// Quantities as people write them.
#include <catch2/catch.hpp>

#include "mastline/units/bit_rate.hpp"
#include "mastline/units/electrical.hpp"
#include "mastline/units/frequency.hpp"
#include "mastline/units/length.hpp"
#include "mastline/units/level.hpp"
#include "mastline/units/temperature.hpp"
#include "mastline/units/ticks.hpp"

using namespace mastline;

namespace {
template <class A, class B>
concept can_compare = requires(A a, B b) { a < b; };
static_assert(!can_compare<Length, Voltage> && !can_compare<BitRate, SymbolRate>);
static_assert(!std::is_convertible_v<double, Length> && !std::is_convertible_v<int, BitRate>);
}  // namespace

TEST_CASE("a hundred feet is 30.48 metres", "[outside]") {
    // The international foot is exactly 0.3048 m (international yard and pound agreement, 1959).
    CHECK(parse_length("100 ft")->metres() == Approx(30.48));
    CHECK(parse_length("30.48 m")->metres() == Approx(30.48));
    CHECK(feet(Length(30.48)) == Approx(100));
}

TEST_CASE("bit rates are decimal", "[unit]") {
    CHECK(parse_bit_rate("8 Mbit/s")->bits_per_second() == 8'000'000);
    CHECK(parse_bit_rate("1 Gbit/s")->bits_per_second() == 1'000'000'000);
    CHECK(parse_bit_rate("3.5 Mb/s")->bits_per_second() == 3'500'000);
    CHECK(to_text(BitRate(19'392'658)) == "19.392658 Mbit/s");
}

TEST_CASE("frequencies keep every hertz", "[unit]") {
    CHECK(parse_frequency("10.832 GHz")->hertz() == 10'832'000'000);
    CHECK(parse_frequency("1178 MHz")->hertz() == 1'178'000'000);
    CHECK(parse_frequency("22 kHz")->hertz() == 22'000);
    CHECK(to_text(Frequency(1'178'500'000)) == "1178.5 MHz");
    CHECK(frequency_of_megahertz(1178.5) == Frequency(1'178'500'000));
}

TEST_CASE("symbol rates are read in both of the trade's spellings", "[unit]") {
    CHECK(parse_symbol_rate("27.5 Msym/s") ->symbols_per_second() == 27'500'000);
    CHECK(parse_symbol_rate("27.5 MBd")->symbols_per_second() == 27'500'000);
}

TEST_CASE("electrical quantities read milli and whole units", "[unit]") {
    CHECK(parse_voltage("18 V")->volts() == Approx(18));
    CHECK(parse_current("250 mA")->amperes() == Approx(0.25));
    CHECK(parse_resistance("2.5 ohm")->ohms() == Approx(2.5));
    CHECK(parse_resistance("2.5 \u03a9")->ohms() == Approx(2.5));
    CHECK(parse_power("12 W")->watts() == Approx(12));
}

TEST_CASE("a temperature is read in Celsius and Fahrenheit", "[outside]") {
    // Fixed points of the scales: water boils at 212 F, freezes at 32 F.
    CHECK(parse_temperature("212 F")->celsius() == Approx(100));
    CHECK(parse_temperature("32 \u00b0F")->celsius() == Approx(0).margin(1e-9));
    CHECK(parse_temperature("-10 C")->celsius() == Approx(-10));
}

TEST_CASE("durations reach from nanoseconds to days", "[unit]") {
    CHECK(*parse_duration("40 ms") == std::chrono::milliseconds(40));
    CHECK(*parse_duration("1.5 s") == std::chrono::milliseconds(1500));
    CHECK(*parse_duration("7 days") == std::chrono::hours(168));
    CHECK(to_text(std::chrono::milliseconds(40)) == "0.04 s");
}

TEST_CASE("the 33-bit clock wraps after 26.5 hours", "[outside]") {
    // ISO/IEC 13818-1: 2^33 ticks of 90 kHz = 95,443.7177 s; the PCR wraps at the same instant.
    CHECK(std::chrono::duration<double>(kPtsWrap).count() == Approx(95443.7177).margin(1e-3));
    CHECK(std::chrono::duration_cast<PcrTicks>(kPtsWrap) == kPcrWrap);
    CHECK(kPcrWrap.count() == 2'576'980'377'600);
}

TEST_CASE("look-alike characters are read as what they look like", "[unit]") {
    CHECK(parse_level("\u221220 dBm")->dbm() == Approx(-20));      // U+2212 minus
    CHECK(parse_level("60 dB\u03bcV")->dbuv() == Approx(60));      // Greek mu
    CHECK(parse_level("60\u00a0dBuV")->dbuv() == Approx(60));      // no-break space
    CHECK(parse_level("+3 dBm")->dbm() == Approx(3));
    CHECK(parse_level("-20dBm")->dbm() == Approx(-20));
}

TEST_CASE("a quantity without unit, with a wrong unit or no number says what would be right", "[input]") {
    CHECK(parse_length("5").error().message ==
          "\"5\" has no unit; a length is written like \"100 ft\" (units: m, ft, km, cm)");
    CHECK(parse_bit_rate("8 MB/s").error().message ==
          "\"8 MB/s\" has the unit \"MB/s\"; a bit rate is written like \"8 Mbit/s\" (units: bit/s, "
          "kbit/s, Mbit/s, Gbit/s, Mb/s, Gb/s)");
    CHECK(parse_frequency("fast").error().message ==
          "\"fast\" does not start with a number; a frequency is written like \"1178 MHz\" (units: "
          "Hz, kHz, MHz, GHz)");
    for (const auto* text : {"", " ", "m", "1,5 m", "inf m", "1e999 m", "5 m 3", "--5 m", "+-5 m"})
        CHECK_FALSE(parse_length(text));
    CHECK(parse_duration("1e12 days").error().message == "\"1e12 days\" is too large");
    CHECK_FALSE(parse_bit_rate("1e300 Gbit/s"));
}

TEST_CASE("numbers are written without noise", "[unit]") {
    CHECK(number_text(-0.0000001, 3) == "0");
    CHECK(number_text(12.500, 3) == "12.5");
    CHECK(number_text(100, 0) == "100");
    CHECK(fixed_text(-0.04, 1) == "0.0");
    CHECK(fixed_text(-26, 1) == "-26.0");
    CHECK(to_text(Level::dbm(-26)) == "-26.0 dBm");
    CHECK(to_exact_text(Level::dbm(-26.123456)) == "-26.123456 dBm");
}

TEST_CASE("a point and a distance add as they should", "[unit]") {
    CHECK((Level::dbm(-20) - Gain::db(6)).dbm() == Approx(-26));
    CHECK((Level::dbm(-20) - Level::dbm(-33)).db() == Approx(13));
    CHECK((Gain::db(6) + -Gain::db(7)).db() == Approx(-1));
    CHECK((Length(10) + Length(5) * 2.0).metres() == Approx(20));
}
