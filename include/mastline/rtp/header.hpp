// SPDX-License-Identifier: Apache-2.0
// The fixed header of RTP (RFC 3550 section 5.1).
#pragma once

#include <cstdint>

#include "mastline/bytes/byte_reader.hpp"
#include "mastline/bytes/parsed.hpp"

namespace mastline {

inline constexpr std::uint8_t kPayloadTypeMp2t = 33;  // RFC 3551 section 6: MP2T, 90 kHz

struct RtpHeader {
    bool marker = false;
    std::uint8_t payload_type = 0;
    std::uint16_t sequence_number = 0;
    std::uint32_t timestamp = 0;  // 90 kHz for MP2T
    std::uint32_t ssrc = 0;
    std::size_t size = 0;     // bytes before the payload: contributing sources, extension included
    std::size_t padding = 0;  // bytes behind it
    bool operator==(const RtpHeader&) const = default;
};

// `datagram` is a UDP payload; of one that the capture kept in part the padding, told by its last byte, is not known.
Parsed<RtpHeader> parse_rtp(ByteView datagram, bool is_whole = true);

}  // namespace mastline
