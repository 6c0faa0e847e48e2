// SPDX-License-Identifier: Apache-2.0
// Recognises a datagram of bare transport packets that comes again shortly after.
#pragma once

#include <array>
#include <cstdint>

#include "mastline/bytes/byte_reader.hpp"

namespace mastline {

// Compares headers and the ends of each packet's payload with the eight datagrams before. Continuity
// counters run 0 to 15, so a right stream cannot look the same within that distance.
class Repeats {
public:
    // Whether the same came before. Datagrams of null packets alone carry nothing to tell them by.
    bool add(ByteView transport_packets);

private:
    std::array<std::uint64_t, 8> before_{};
    std::size_t next_ = 0;
};

}  // namespace mastline
