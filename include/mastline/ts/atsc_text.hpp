// SPDX-License-Identifier: Apache-2.0
// Texts of ATSC A/65: multiple_string_structure (clause 6.10).
#pragma once

#include <string>

#include "mastline/bytes/byte_reader.hpp"

namespace mastline {

// What stands in the place of a segment that is packed (Huffman tables of annex C, SCSU) or in a mode
// that A/65 leaves to others.
inline constexpr const char* kUndecodedText = "(compressed, not decoded)";

// UTF-16 in the order of the network; unpaired surrogates become U+FFFD, zeros are left out.
std::string utf16_text(ByteView bytes);

// The first string, as UTF-8; where the bytes end early, what stood before.
std::string multiple_string_text(ByteView bytes);

}  // namespace mastline
