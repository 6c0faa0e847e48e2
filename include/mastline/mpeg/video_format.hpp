// SPDX-License-Identifier: Apache-2.0
// What a video stream says of its pictures.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

namespace mastline {

// Frames per second as the fraction the stream states.
struct FrameRate {
    std::uint32_t numerator = 0;
    std::uint32_t denominator = 1;
    bool operator==(const FrameRate&) const = default;
};

// From the first sequence header (MPEG-2) or sequence parameter set (AVC, HEVC).
struct VideoFormat {
    std::string profile;       // "Main", "High", "Main 10"
    std::string level;         // "High", "4.1"
    std::uint32_t width = 0;   // samples, cropping applied
    std::uint32_t height = 0;
    bool interlaced = false;   // fields may be coded
    std::optional<FrameRate> frame_rate;  // none: the stream does not state it
    bool operator==(const VideoFormat&) const = default;
};

}  // namespace mastline
