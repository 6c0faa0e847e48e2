// SPDX-License-Identifier: Apache-2.0
// The header of forward error correction behind the RTP header (SMPTE ST 2022-1, derived from RFC
// 2733): the exclusive or of the fields and payloads of the RTP packets that it protects.
#pragma once

#include <cstdint>

#include "mastline/bytes/byte_reader.hpp"
#include "mastline/bytes/parsed.hpp"

namespace mastline {

struct FecHeader {
    static constexpr std::size_t kSize = 16;

    std::uint16_t base = 0;    // sequence number of the first protected packet
    std::uint16_t length = 0;  // of lengths behind the 12 bytes of the fixed RTP header
    std::uint8_t payload_type = 0;
    std::uint32_t timestamp = 0;
    bool row = false;          // D: 0 column, 1 row
    std::uint8_t step = 0;     // offset: from one protected packet to the next
    std::uint8_t count = 0;    // NA: protected packets
    bool operator==(const FecHeader&) const = default;

    // From the first protected packet to the last.
    unsigned span() const { return unsigned{step} * (count - 1U); }
};

// `body` is what stands behind the RTP header. Only the exclusive or (type 0) is known.
Parsed<FecHeader> parse_fec_header(ByteView body);

}  // namespace mastline
