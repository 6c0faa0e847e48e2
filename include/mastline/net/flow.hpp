// SPDX-License-Identifier: Apache-2.0
// What carries one stream: a group and a UDP port, and the source that sends it.
#pragma once

#include <compare>
#include <cstdint>
#include <string>

#include "mastline/net/group.hpp"

namespace mastline {

struct UdpPort {
    std::uint16_t number = 0;
    friend constexpr auto operator<=>(UdpPort, UdpPort) = default;
};

// Where a stream is to be received: group and port.
struct FlowAddress {
    Group group;
    UdpPort port;
    friend constexpr auto operator<=>(const FlowAddress&, const FlowAddress&) = default;
};

// "239.192.10.20:5004", "[ff15::db8:1234]:5004".
inline std::string to_text(const FlowAddress& flow) {
    const std::string group = to_text(flow.group);
    return (flow.group.address().is_v4() ? group : "[" + group + "]") + ":" +
           std::to_string(flow.port.number);
}

}  // namespace mastline
