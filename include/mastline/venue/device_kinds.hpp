// SPDX-License-Identifier: Apache-2.0
// Device kinds as the venue files write them.
#pragma once

#include <array>
#include <string_view>
#include <utility>

#include "mastline/venue/device_data.hpp"

namespace mastline {

inline constexpr std::array<std::pair<std::string_view, DeviceKind>, 15> kDeviceKinds{{
    {"surge-arrestor", DeviceKind::surge_arrestor},
    {"power-inserter", DeviceKind::power_inserter},
    {"selector", DeviceKind::selector},
    {"optical-transmitter", DeviceKind::optical_transmitter},
    {"optical-receiver", DeviceKind::optical_receiver},
    {"amplifier", DeviceKind::amplifier},
    {"tap", DeviceKind::tap},
    {"splitter", DeviceKind::splitter},
    {"combiner", DeviceKind::combiner},
    {"pad", DeviceKind::pad},
    {"equaliser", DeviceKind::equaliser},
    {"dc-block", DeviceKind::dc_block},
    {"multiswitch", DeviceKind::multiswitch},
    {"outlet-tap", DeviceKind::outlet_tap},
    {"other", DeviceKind::other},
}};

constexpr std::string_view to_text(DeviceKind kind) {
    for (const auto& [word, k] : kDeviceKinds)
        if (k == kind) return word;
    return "";
}

}  // namespace mastline
