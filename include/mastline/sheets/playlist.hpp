// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

#include "mastline/expectation/expectation.hpp"

namespace mastline {

// The lineup as an XSPF playlist, one track per stream: udp:// or rtp:// locations, the source
// before the @ where displays join by source.
std::string write_playlist(const ExpectedLineup& lineup);

}  // namespace mastline
