// SPDX-License-Identifier: Apache-2.0
#include "mastline/ts/es_header.hpp"

#include "mastline/ts/component_kind.hpp"
#include "start_codes.hpp"

namespace mastline {

namespace {

bool is_mpeg_video(std::string_view kind) { return kind == "mpeg2-video" || kind == "mpeg1-video"; }
bool is_mpeg_audio(std::string_view kind) { return kind == "mpeg1-audio" || kind == "mpeg2-audio"; }
bool is_ac3(std::string_view kind) {
    return kind == "ac3" || kind == "eac3" || kind == "ac3-atsc" || kind == "eac3-atsc";
}

// Any unit whose first byte the predicate takes.
template <class Predicate>
bool any_unit(ByteView bytes, Predicate&& is_wanted) {
    while (const auto unit = after_start_code(bytes)) {
        bytes = *unit;
        if (is_wanted(read_u8(bytes, 0))) return true;
    }
    return false;
}

}  // namespace

std::optional<VideoFormat> find_video(std::string_view kind, ByteView bytes) {
    if (is_mpeg_video(kind)) return find_mpeg_video(bytes);
    if (kind == "h264") return find_avc(bytes);
    if (kind == "hevc") return find_hevc(bytes);
    if (kind == "mpeg4-video") return find_mpeg4_video(bytes);
    if (kind == "av1") return find_av1(bytes);
    if (kind == "jpeg2000") return find_jpeg2000(bytes);
    return std::nullopt;
}

std::optional<AudioFormat> find_audio(std::string_view kind, ByteView bytes, bool more) {
    if (is_mpeg_audio(kind)) return find_mpeg_audio(bytes);
    if (kind == "aac") return find_adts(bytes);
    if (kind == "aac-latm") return find_latm(bytes);
    if (is_ac3(kind)) return find_ac3(bytes, more);
    if (kind == "dts") return find_dts(bytes);
    if (kind == "smpte302m") return find_smpte302(bytes);
    return std::nullopt;
}

bool has_known_header(std::string_view kind) {
    return is_mpeg_video(kind) || is_mpeg_audio(kind) || is_ac3(kind) || kind == "h264" || kind == "hevc" ||
           kind == "mpeg4-video" || kind == "av1" || kind == "jpeg2000" || kind == "aac" || kind == "aac-latm" || kind == "dts" || kind == "smpte302m";
}

bool begins_access_point(std::string_view kind, ByteView bytes) {
    if (is_mpeg_video(kind)) return any_unit(bytes, [](std::uint8_t b) { return b == 0xB3; });
    if (kind == "h264")
        return any_unit(bytes, [](std::uint8_t b) { return (b & 0x9F) == 5 || (b & 0x9F) == 7; });
    if (kind == "hevc")
        return any_unit(bytes, [](std::uint8_t b) { return b >> 1 == 33 || ((b >> 1) >= 16 && (b >> 1) <= 23); });
    if (kind == "mpeg4-video") return any_unit(bytes, [](std::uint8_t b) { return b >= 0x20 && b <= 0x2F; });
    if (kind == "av1") return has_av1_sequence_header(bytes);
    return medium_of(kind) == Medium::audio || kind == "jpeg2000" || kind == "jpeg-xs";
}

}  // namespace mastline
