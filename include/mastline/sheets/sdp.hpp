// SPDX-License-Identifier: Apache-2.0
// Session descriptions (RFC 8866) of planned streams.
#pragma once

#include <cstdint>
#include <string>

#include "mastline/expectation/expectation.hpp"
#include "mastline/venue/addressing_policy.hpp"

namespace mastline {

// One stream, lines ended by CR LF. `version` is to grow whenever the description changes. With
// `fec` (RTP only) the column packets on port + 2 are described and grouped with the media (RFC
// 5956, RFC 6015); row packets have no registered media type and are left out.
std::string write_sdp(const Expectation& flow, std::uint64_t version = 1,
                      const FecPolicy* fec = nullptr);

}  // namespace mastline
