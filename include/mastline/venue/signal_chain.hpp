// SPDX-License-Identifier: Apache-2.0
// Equipment between roof and cards, and what connects it.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "mastline/findings/place.hpp"
#include "mastline/units/length.hpp"
#include "mastline/units/level.hpp"
#include "mastline/units/temperature.hpp"
#include "mastline/venue/cables.hpp"
#include "mastline/venue/device_data.hpp"
#include "mastline/venue/feeds.hpp"

namespace mastline {

enum class PortDirection : std::uint8_t { in, out };

// A connection point, `lanes` conductors wide. A single-cable output is one conductor that carries
// every lane, moved to user bands; `carries_all` says so.
struct Port {
    std::string name;
    PortDirection direction = PortDirection::in;
    int lanes = 1;
    bool carries_all = false;
    bool optical = false;
    std::optional<Window> window;
    bool passes_dc = false;
    bool test_point = false;
};

// From one port of a device to another: gain over frequency, straight between the points, the
// nearest point's beyond them. An optical path's gain is in optical dB.
struct PortPath {
    std::string from, to;
    std::vector<GainPoint> gain;
    Gain tolerance;
    bool optical = false;
};

// What the engineer has set on a device. What is absent is for the planner to find where the data
// give it a range, and zero otherwise.
struct DeviceSettings {
    std::vector<Gain> trim;                  // amplifier, per lane; or one for all
    std::optional<Gain> slope;
    std::vector<std::optional<Gain>> pads;   // pad place, per lane or one for all; none: no pad
    bool pads_given = false;
};

// One piece of equipment with everything resolved: model data, copies ("ms-1" to "ms-4"), settings.
struct Device {
    std::string name;
    DeviceKind kind = DeviceKind::pad;
    std::string model;     // name of its [[model]]; may be empty
    std::string position;
    int lanes = 1;
    DeviceData data;       // its own over its model's once checked
    DeviceSettings settings;
    std::vector<Port> ports;     // made from the data when the venue is checked
    std::vector<PortPath> paths;
    Place place;
};

// "device.port"
struct PortRef {
    std::string device, port;
    friend auto operator<=>(const PortRef&, const PortRef&) = default;
};

inline std::string to_text(const PortRef& ref) { return ref.device + "." + ref.port; }

// One conductor of a run: from lane position to lane position. Crossed where they differ.
struct RunLane {
    LaneNumber from, to;
};

struct Run {
    std::string name;     // cable label; made from the ends when not given
    PortRef from, to;
    RunMedium medium = RunMedium::coax;
    std::string cable;    // class: "rg6", or a [[cable]] of the venue; empty: none is reckoned
    Length length;
    std::vector<RunLane> lanes;  // as written, or one to one over all lanes the ports share
    std::optional<Gain> loss;    // reckoned flat instead of by cable and length; positive
    std::optional<Gain> tolerance;             // in dB, on top of the cable's percentage
    std::optional<double> tolerance_percent;   // instead of the cable's
    bool outdoor = false;
    int connectors = 0, splices = 0;           // fibre
    std::vector<int> user_bands;  // slots that the card at its end uses, where the engineer says so
    Place place, from_place, to_place;
};

// Air temperatures at outdoor runs.
struct Climate {
    Temperature ambient = Temperature::celsius(20);  // nominal levels
    std::optional<Temperature> cold, hot;            // worst case
};

struct StockedPad {
    Gain loss;  // positive
    Gain tolerance;
    int count = 0;
    Place place;
};

struct StockedTap {
    Gain tap_loss, through_loss;  // positive
    Gain tolerance;
    std::optional<int> count;     // any number when absent
    Place place;
};

// What is in the store room.
struct Stock {
    std::vector<StockedPad> pads;
    std::vector<StockedTap> taps;
};

}  // namespace mastline
