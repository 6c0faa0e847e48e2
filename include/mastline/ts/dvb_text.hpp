// SPDX-License-Identifier: Apache-2.0
// Text of EN 300 468, annex A, to UTF-8.
#pragma once

#include <string>

#include "mastline/bytes/byte_reader.hpp"

namespace mastline {

// The character table is chosen by the first bytes (annex A.2): none is ISO/IEC 6937 with the euro
// sign; 0x01 to 0x0B and 0x10 are parts of ISO/IEC 8859; 0x11 and 0x14 are two-byte ISO/IEC 10646;
// 0x15 is UTF-8. Emphasis codes are dropped, a line break becomes a space. What a table does not
// define, and the two-byte tables that are not at hand (Korean 0x12, Chinese 0x13, private 0x1F),
// become U+FFFD.
std::string dvb_text(ByteView text);

}  // namespace mastline
