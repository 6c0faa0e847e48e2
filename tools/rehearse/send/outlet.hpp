// SPDX-License-Identifier: Apache-2.0
// Where datagrams go: the network or files.
#pragma once

#include "tools/rehearse/ts/byte_writer.hpp"

namespace mastline {

inline constexpr std::size_t kRtpHeaderSize = 12;
inline constexpr std::size_t kMostDatagram = kRtpHeaderSize + 7 * 188;

// Which flow, and which of its senders: the planned one or the second.
struct Route {
    std::size_t flow = 0;
    bool second_source = false;
};

class Outlet {
public:
    virtual ~Outlet() = default;
    // kMostDatagram bytes to write the next datagram of a route into; valid until commit().
    virtual ByteSpan slot(Route route) = 0;
    // The first `size` bytes of the slot are the datagram.
    virtual void commit(Route route, std::size_t size) = 0;
    // Everything committed leaves now.
    virtual void flush() = 0;
};

}  // namespace mastline
