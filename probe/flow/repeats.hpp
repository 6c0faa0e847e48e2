// SPDX-License-Identifier: Apache-2.0
// Recognises a datagram of bare transport packets that comes again shortly after.
#pragma once

#include <array>
#include <cstdint>

#include "mastline/bytes/byte_reader.hpp"

namespace mastline {

// A repeat looks like one of the eight datagrams before (headers and the ends of each packet's
// payload) and its continuity counters do not go on from the last ones. Looks alone do not tell:
// counters run 0 to 15, so stuffing alike to the bit comes round after as few as three datagrams.
class Repeats {
public:
    Repeats() { counters_.fill(kNoCounter); }

    // Whether the same came before. Datagrams of null packets alone carry nothing to tell them by, those of filler
    // only that they equal the one just before, which counts while others come twice.
    bool add(ByteView transport_packets);

private:
    static constexpr std::uint8_t kNoCounter = 0xFF;

    // Whether a packet's counter goes on from the last of its PID, which it replaces.
    bool follows(std::uint32_t header);

    std::array<std::uint64_t, 8> before_{};
    std::size_t next_ = 0;
    std::uint64_t last_ = 0;  // datagram, of whatever content
    bool repeating_ = false;  // the last that could be told was a repeat
    std::array<std::uint8_t, 8192> counters_;  // last continuity_counter per PID
};

}  // namespace mastline
