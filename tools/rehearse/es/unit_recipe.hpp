// SPDX-License-Identifier: Apache-2.0
// What one component repeats: its access units, how often, and how they are filled up.
#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "mastline/bytes/byte_reader.hpp"
#include "mastline/units/ticks.hpp"

namespace mastline {

// What may follow a picture and means nothing.
enum class Filler : std::uint8_t {
    none,
    zero_bytes,  // MPEG-1 and MPEG-2 video: zero bytes before the next start code
    avc,         // NAL unit type 12, filler data
    hevc,        // NAL unit type 38, filler data
};

struct UnitRecipe {
    std::uint8_t stream_id = 0xBD;   // ISO/IEC 13818-1 table 2-22
    bool aligned = false;            // data_alignment_indicator
    std::uint8_t header_length = 5;  // PES_header_data_length: time stamps, and stuffing if more
    PtsTicks period{};
    std::vector<ByteView> units;  // taken in turn; live as long as the program
    Filler filler = Filler::none;
    // From decoding to presentation. MPEG-1 and MPEG-2 video that does not say low_delay shows a
    // picture one period later, B-pictures or not (ISO/IEC 13818-2, 6.1.1.11); then there is a DTS.
    PtsTicks shown_after{0};
};

// None for a kind that is carried in sections. REQUIRES: `kind` is a name of kStreamKinds
std::optional<UnitRecipe> recipe_of(std::string_view kind);

}  // namespace mastline
