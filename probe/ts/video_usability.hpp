// SPDX-License-Identifier: Apache-2.0
// The part of the video usability information that AVC and HEVC have in common
// (ISO/IEC 14496-10 and 23008-2, E.1.1 and E.2.1), up to the chroma sample location.
#pragma once

#include "bit_reader.hpp"

namespace mastline {

inline void skip_common_usability(BitReader& bits) {
    if (bits.flag() && bits.bits(8) == 255) bits.skip(32);  // aspect_ratio_idc, sar_width, sar_height
    if (bits.flag()) bits.skip(1);                          // overscan
    if (bits.flag()) {                                      // video_signal_type
        bits.skip(4);
        if (bits.flag()) bits.skip(24);                     // colour_description
    }
    if (bits.flag()) {                                      // chroma_loc_info
        bits.ue();
        bits.ue();
    }
}

}  // namespace mastline
