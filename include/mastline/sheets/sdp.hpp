// SPDX-License-Identifier: Apache-2.0
// Session descriptions (RFC 8866) of planned streams.
#pragma once

#include <cstdint>
#include <string>

#include "mastline/expectation/expectation.hpp"
#include "mastline/venue/addressing_policy.hpp"

namespace mastline {

// One stream, lines ended by CR LF. `version` is to grow whenever the description changes. With
// `fec` (RTP only) the column packets on port + 2 (RFC 6015) and the row packets on port + 4 are
// described and grouped with the media, both repairing it together (RFC 5956). No media type is
// registered for the rows of SMPTE ST 2022-1 alone: they are called by that of the parity packets
// whose header they extend (RFC 3009, RFC 2733).
std::string write_sdp(const Expectation& flow, std::uint64_t version = 1,
                      const FecPolicy* fec = nullptr);

}  // namespace mastline
