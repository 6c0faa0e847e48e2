// SPDX-License-Identifier: Apache-2.0
// One received UDP payload: the common coin of sockets, captures and files.
#pragma once

#include <algorithm>
#include <cstdint>

#include "mastline/bytes/byte_reader.hpp"
#include "mastline/net/ip_address.hpp"
#include "mastline/net/flow.hpp"
#include "mastline/net/wire_frame.hpp"
#include "mastline/units/ticks.hpp"

namespace mastline {

struct Datagram {
    ByteView payload;         // UDP payload; valid only during the call that hands it over
    Duration arrival{};       // since the Unix epoch (kernel or capture stamp)
    IpAddress source;         // sender
    IpAddress destination;    // group (or unicast address) it was sent to
    UdpPort source_port;
    UdpPort port;             // destination port
    int ttl = -1;             // TTL or hop limit; -1 when the way of listening does not tell
    int dscp = -1;            // -1 when not told
    bool stamped = true;      // arrival is known; some files carry no times
    bool truncated = false;   // the capture kept less than was on the wire
    std::size_t told_size = 0;  // of the payload by the headers, where the capture may have kept less
    WireFrame frame{};        // that it came in

    // Bytes of payload on the wire.
    std::size_t wire_size() const { return std::max(payload.size(), told_size); }
};

}  // namespace mastline
