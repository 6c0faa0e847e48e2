// SPDX-License-Identifier: Apache-2.0
// What a component of a programme is, as the venue file and the plan name it, and the stream_type
// (with, for private PES, the descriptor) that carries it in a PMT.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string_view>

#include "mastline/mpeg/pid.hpp"

namespace mastline {

// One way to carry a component. descriptor_tag 0: the stream_type says all.
struct StreamKind {
    std::string_view name;        // the word used in files: "h264"
    StreamType stream_type;       // ISO/IEC 13818-1 table 2-34
    std::uint8_t descriptor_tag;  // EN 300 468 table 12, where stream_type 6 needs one
    bool video;
    std::string_view meaning;
};

inline constexpr std::array<StreamKind, 17> kStreamKinds{{
    {"mpeg1-video", {0x01}, 0, true, "MPEG-1 video"},
    {"mpeg2-video", {0x02}, 0, true, "MPEG-2 video"},
    {"h264", {0x1B}, 0, true, "AVC video"},
    {"hevc", {0x24}, 0, true, "HEVC video"},
    {"mpeg1-audio", {0x03}, 0, false, "MPEG-1 audio"},
    {"mpeg2-audio", {0x04}, 0, false, "MPEG-2 audio (layer II, half sampling rates)"},
    {"aac", {0x0F}, 0, false, "AAC audio in ADTS"},
    {"aac-latm", {0x11}, 0, false, "AAC audio in LATM"},
    {"ac3", {0x06}, 0x6A, false, "AC-3 audio, DVB"},
    {"eac3", {0x06}, 0x7A, false, "Enhanced AC-3 audio, DVB"},
    {"ac3-atsc", {0x81}, 0, false, "AC-3 audio, ATSC"},
    {"eac3-atsc", {0x87}, 0, false, "Enhanced AC-3 audio, ATSC"},
    {"teletext", {0x06}, 0x56, false, "EBU teletext"},
    {"subtitles", {0x06}, 0x59, false, "DVB subtitles"},
    {"scte35", {0x86}, 0, false, "Cue messages (SCTE 35)"},
    {"private-sections", {0x05}, 0, false, "Private sections"},
    {"private-data", {0x06}, 0, false, "Private PES data"},
}};

constexpr std::optional<StreamKind> stream_kind_named(std::string_view name) {
    for (const auto& kind : kStreamKinds)
        if (kind.name == name) return kind;
    return std::nullopt;
}

}  // namespace mastline
