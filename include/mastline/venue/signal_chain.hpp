// SPDX-License-Identifier: Apache-2.0
// Equipment between roof and cards, and what connects it.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "mastline/findings/place.hpp"
#include "mastline/units/electrical.hpp"
#include "mastline/units/frequency.hpp"
#include "mastline/units/length.hpp"
#include "mastline/units/level.hpp"
#include "mastline/units/temperature.hpp"
#include "mastline/venue/feeds.hpp"

namespace mastline {

struct Window {
    Level low, high;
    friend constexpr bool operator==(const Window&, const Window&) = default;
};

struct GainPoint {
    Frequency at;
    Gain gain;  // negative: loss
};

enum class PortDirection : std::uint8_t { in, out };

// A connection point, `lanes` conductors wide. A multiswitch output is one conductor that carries
// every lane; `carries_all` says so.
struct Port {
    std::string name;
    PortDirection direction = PortDirection::in;
    int lanes = 1;
    bool carries_all = false;
    std::optional<Window> window;
    bool passes_dc = false;
    bool test_point = false;
};

// From one port of a device to another: gain over frequency, straight between the points.
struct PortPath {
    std::string from, to;
    std::vector<GainPoint> gain;
    Gain tolerance;
};

enum class DeviceKind : std::uint8_t {
    surge_arrestor, power_inserter, optical_transmitter, optical_receiver, amplifier, tap,
    splitter, combiner, pad, equaliser, dc_block, multiswitch, outlet_tap
};

// One piece of equipment with everything resolved: model data, copies ("ms-1" to "ms-4"), settings.
struct Device {
    std::string name;
    DeviceKind kind = DeviceKind::pad;
    std::string model;     // name of its [[model]]; may be empty
    std::string position;
    std::vector<Port> ports;
    std::vector<PortPath> paths;
    Place place;
};

// "device.port"
struct PortRef {
    std::string device, port;
    friend auto operator<=>(const PortRef&, const PortRef&) = default;
};

// One conductor of a run: from lane position to lane position. Crossed where they differ.
struct RunLane {
    LaneNumber from, to;
};

enum class RunMedium : std::uint8_t { coax, fibre };

struct Run {
    std::string name;     // cable label; made from the ends when not given
    PortRef from, to;
    RunMedium medium = RunMedium::coax;
    std::string cable;    // class: "rg6", or a [[cable]] of the venue
    Length length;
    std::vector<RunLane> lanes;
    bool outdoor = false;
    Place place;
};

}  // namespace mastline
