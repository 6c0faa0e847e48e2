// SPDX-License-Identifier: Apache-2.0
// Remote power over coax: who feeds whom, with what voltage left, and what a failed supply darkens.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "mastline/signal/lane_ref.hpp"
#include "mastline/units/electrical.hpp"
#include "mastline/venue/signal_chain.hpp"

namespace mastline {

// One fed part: a feed's LNB or a device.
struct PowerLoad {
    std::string part;      // "feed west", "device amp-1"
    PortRef port;
    LaneNumber conductor;
    Current current;
    Resistance loop;       // from the supply, of the runs alone
    Voltage voltage;       // at the part
    std::optional<Voltage> minimum;
};

struct DarkLane {
    PortRef input;  // card input that loses it
    LaneRef lane;
};

struct PowerSupply {
    std::string device;
    Voltage voltage;
    Current load;
    std::optional<Current> limit;
    std::vector<PowerLoad> loads;
    std::vector<DarkLane> dark;             // when it fails
    std::vector<std::string> dark_channels; // numbers, that no card input receives any more
};

}  // namespace mastline
