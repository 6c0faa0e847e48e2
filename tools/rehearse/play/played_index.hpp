// SPDX-License-Identifier: Apache-2.0
// The packets of a transport-stream file and when each of them leaves, by the file's own PCR.
#pragma once

#include <string>
#include <vector>

#include "mastline/bytes/parsed.hpp"
#include "tools/rehearse/ts/packet.hpp"

namespace mastline {

struct PlayedIndex {
    // A packet that carries a PCR of clock_pid, and when it leaves, counted from the first packet.
    struct Mark {
        std::int64_t packet = 0;
        PcrTicks time{};
    };

    std::size_t first = 0;     // byte of the first packet's sync byte
    std::size_t stride = 188;  // from packet to packet: 188, 192 or 204 bytes
    std::int64_t packets = 0;
    Pid clock_pid;
    std::vector<Mark> marks;  // at least two
    PcrTicks length{};        // of one pass
    // How far the file's clock moves on in one pass. Differs from `length` only when it jumps
    // within.
    PcrTicks clock_length{};

    // When a packet of the first pass leaves; `hint` is the mark to start looking from and is
    // moved.
    PcrTicks time_of(std::int64_t packet, std::size_t& hint) const;
};

// Packets of 188, 192 (4 bytes in front) or 204 bytes (16 behind); bytes before the first packet
// are passed over. The error says what is missing.
Parsed<PlayedIndex, std::string> index_stream(ByteView file);

}  // namespace mastline
