// SPDX-License-Identifier: Apache-2.0
// What a data sheet says of a piece of equipment. A [[model]] and a [[device]] take the same keys;
// what a device says itself goes before what its model says.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "mastline/findings/place.hpp"
#include "mastline/units/electrical.hpp"
#include "mastline/units/frequency.hpp"
#include "mastline/units/level.hpp"
#include "mastline/venue/feeds.hpp"

namespace mastline {

struct Window {
    Level low, high;
    friend constexpr bool operator==(const Window&, const Window&) = default;
};

// A gain at a frequency. `flat`: the same at every frequency.
struct GainPoint {
    Frequency at;
    Gain gain;  // negative: loss
    bool flat = false;
};

enum class DeviceKind : std::uint8_t {
    surge_arrestor, power_inserter, optical_transmitter, optical_receiver, amplifier, tap,
    splitter, combiner, pad, equaliser, dc_block, multiswitch, outlet_tap, selector, other
};

enum class Wavelength : std::uint8_t { nm1310, nm1550 };

// What an optical receiver does about the light it gets: nothing, hold its gain (the optical loss
// drops out), or hold its output level at one frequency.
enum class Levelling : std::uint8_t { none, gain_held, level_held };

// How the greatest output of an amplifier falls with the number of carriers n (from two on).
enum class Derating : std::uint8_t {
    cautious,  // the greater of the next two
    ctb,       // 7.5 log10(n - 1), amplifiers limited by composite triple beat
    power,     // 10 log10(n / 2), equal total power
    none
};

// A port of a device of kind "other", or what a model changes about a port of its kind.
struct PortData {
    std::string name;
    bool is_output = false;
    std::optional<int> lanes;
    std::optional<Level> window_low, window_high;
    std::optional<bool> passes_dc;
    Place place;
};

struct PathData {
    std::string from, to;
    std::vector<GainPoint> gain;
    Gain tolerance;
    Place place;
};

struct DeviceData {
    std::optional<DeviceKind> kind;
    bool kind_misread = false;  // a word that is no kind; reported where it stands
    std::optional<int> lanes;              // width; 1 when nobody says
    std::optional<int> ways;               // splitter outputs, combiner inputs, tap ports
    std::vector<GainPoint> loss;           // as gains, so negative
    std::vector<GainPoint> gain;
    std::vector<GainPoint> tap_loss, through_loss;
    std::optional<Gain> tolerance;
    std::optional<Level> window_low, window_high;  // of its inputs
    std::optional<Gain> noise_figure;
    std::optional<Frequency> band_low, band_high;  // of an amplifier: where slope is reckoned
    std::optional<Gain> trim_low, trim_high, trim_step;
    std::optional<Gain> slope_high, slope_step;
    std::optional<Level> maximum_output;   // two carriers
    std::optional<Derating> derating;
    std::optional<bool> optical;           // a passive part for light
    std::optional<Level> launch_power;     // optical, in dBm
    std::optional<Wavelength> wavelength;
    std::optional<Level> optical_low, optical_high;  // range of the receiver's input
    std::optional<Level> optical_reference;          // input at which `gain` holds
    std::optional<Levelling> levelling;
    std::optional<Level> held_level;
    std::optional<Frequency> held_at;
    std::optional<int> outputs, wideband_outputs;    // multiswitch
    std::vector<Frequency> user_bands;               // centres, slot 1 first
    std::optional<Frequency> user_band_width;
    std::optional<Level> output_level;               // single-cable, each user band
    std::optional<bool> passes_dc;
    std::optional<Voltage> supply_voltage;           // it feeds others
    std::optional<Current> supply_limit;
    std::vector<std::string> power_to;               // ports it feeds
    std::optional<Voltage> supply_minimum;           // it is fed by others
    std::optional<Current> supply_current;
    std::optional<Power> supply_power;
    std::optional<std::string> powered_from;         // port
    std::optional<int> power_lane;
    std::vector<std::string> test_points;            // ports
    std::vector<PortData> ports;
    std::vector<PathData> paths;
};

struct DeviceModel {
    std::string name;
    DeviceData data;
    Place place;
};

}  // namespace mastline
