// SPDX-License-Identifier: Apache-2.0
// The PES data fields of teletext and DVB subtitles: the least that is legal.
#pragma once

#include "mastline/bytes/byte_reader.hpp"

namespace mastline {

// EN 300 472: the header row of page 100 and two stuffing units; with a 45-byte PES header it fills
// one transport packet, as the standard asks. Lives as long as the program.
ByteView teletext_unit();

// EN 300 743: an empty page composition (acquisition point) and the end of the display set.
ByteView subtitle_unit();

}  // namespace mastline
