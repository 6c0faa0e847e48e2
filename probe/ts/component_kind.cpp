// SPDX-License-Identifier: Apache-2.0
#include "mastline/ts/component_kind.hpp"

#include <algorithm>
#include <array>

#include "mastline/mpeg/stream_kind.hpp"

namespace mastline {

namespace {

// A kind that no venue file names, but streams carry.
struct ForeignKind {
    std::string_view name;
    Medium medium;
};

constexpr std::array<ForeignKind, 33> kForeignKinds{{
    {"mpeg4-video", Medium::video}, {"jpeg2000", Medium::video}, {"jpeg-xs", Medium::video},
    {"vvc", Medium::video}, {"avs", Medium::video}, {"dirac", Medium::video}, {"vc1", Medium::video},
    {"av1", Medium::video}, {"h264-layer", Medium::other}, {"hevc-layer", Medium::other},
    {"aac-raw", Medium::audio}, {"mpegh-audio", Medium::audio}, {"dts", Medium::audio},
    {"truehd", Medium::audio}, {"opus", Medium::audio}, {"ac4", Medium::audio},
    {"lpcm", Medium::audio}, {"smpte302m", Medium::audio}, {"klv", Medium::other}, {"id3", Medium::other},
    {"ttml", Medium::other}, {"vanc", Medium::other}, {"metadata", Medium::other}, {"dsm-cc", Medium::other},
    {"bluray-subtitles", Medium::other}, {"sections-14496", Medium::other}, {"second-view", Medium::other},
    {"vvc-layer", Medium::other}, {"evc", Medium::video}, {"lcevc", Medium::other}, {"avs2", Medium::video},
    {"avs3", Medium::video}, {"temi", Medium::other},
}};

struct TypeName {
    std::uint8_t stream_type;
    std::string_view kind;
};

// ISO/IEC 13818-1 table 2-34; from 0x80 on common practice of the trade.
constexpr std::array<TypeName, 42> kForeignTypes{{
    {0x08, "dsm-cc"}, {0x0A, "dsm-cc"}, {0x0B, "dsm-cc"}, {0x0C, "dsm-cc"}, {0x0D, "dsm-cc"},
    {0x10, "mpeg4-video"}, {0x13, "sections-14496"}, {0x14, "dsm-cc"}, {0x15, "metadata"}, {0x16, "metadata"},
    {0x17, "metadata"}, {0x18, "metadata"}, {0x19, "metadata"}, {0x1C, "aac-raw"}, {0x1F, "h264-layer"},
    {0x20, "h264-layer"}, {0x21, "jpeg2000"}, {0x22, "second-view"}, {0x23, "second-view"}, {0x25, "hevc-layer"},
    {0x26, "h264-layer"}, {0x27, "temi"}, {0x28, "hevc-layer"}, {0x29, "hevc-layer"}, {0x2A, "hevc-layer"},
    {0x2B, "hevc-layer"}, {0x2D, "mpegh-audio"}, {0x2E, "mpegh-audio"}, {0x31, "hevc-layer"}, {0x32, "jpeg-xs"},
    {0x33, "vvc"}, {0x34, "vvc-layer"}, {0x35, "evc"}, {0x36, "lcevc"}, {0x42, "avs"}, {0x82, "dts"},
    {0x83, "truehd"}, {0x8A, "dts"}, {0xD1, "dirac"}, {0xD2, "avs2"}, {0xD4, "avs3"}, {0xEA, "vc1"},
}};

// Where the programme registers "HDMV" (common practice of disc recordings and of their makers).
constexpr std::array<TypeName, 11> kDiscTypes{{
    {0x80, "lpcm"}, {0x81, "ac3-atsc"}, {0x82, "dts"}, {0x83, "truehd"}, {0x84, "eac3"}, {0x85, "dts"},
    {0x86, "dts"}, {0x90, "bluray-subtitles"}, {0x92, "bluray-subtitles"}, {0xA1, "eac3"}, {0xA2, "dts"},
}};

// format_identifiers that say what a private component is.
struct FormatName {
    std::string_view format, kind;
};
constexpr std::array<FormatName, 17> kFormats{{
    {"AC-3", "ac3"}, {"EAC3", "eac3"}, {"HEVC", "hevc"}, {"Opus", "opus"}, {"BSSD", "smpte302m"}, {"DTS1", "dts"},
    {"DTS2", "dts"}, {"DTS3", "dts"}, {"AC-4", "ac4"}, {"KLVA", "klv"}, {"ID3 ", "id3"}, {"VANC", "vanc"},
    {"VC-1", "vc1"}, {"drac", "dirac"}, {"AV01", "av1"}, {"VVC ", "vvc"}, {"AVSV", "avs"},
}};

template <std::size_t N>
std::string_view named(const std::array<TypeName, N>& types, std::uint8_t stream_type) {
    const auto found = std::find_if(types.begin(), types.end(),
                                    [&](const auto& t) { return t.stream_type == stream_type; });
    return found == types.end() ? std::string_view() : found->kind;
}

std::string_view kind_of_format(const std::string& format) {
    const auto found = std::find_if(kFormats.begin(), kFormats.end(),
                                    [&](const auto& f) { return f.format == format; });
    return found == kFormats.end() ? std::string_view() : found->kind;
}

std::string_view registered(const Descriptors& descriptors) { return kind_of_format(registration_of(descriptors)); }

// extension_descriptor of EN 300 468 (tag 0x7F): its first byte is a tag of its own.
std::string_view extended(const Descriptors& descriptors) {
    for (const auto& d : descriptors) {
        if (d.tag != 0x7F || d.body.empty()) continue;
        switch (read_u8(d.body, 0)) {
            case 0x0E: return "dts";   // DTS_HD_audio_stream_descriptor
            case 0x15: return "ac4";   // AC-4_descriptor
            case 0x20: return "ttml";  // TTML_subtitling_descriptor
            default: break;
        }
    }
    return {};
}

// stream_type 6 says "private PES": a descriptor (EN 300 468 table 12) or a registered
// format_identifier says what is in it.
std::string_view kind_of_private_pes(const Descriptors& descriptors) {
    for (const auto& kind : kStreamKinds)
        if (kind.stream_type.value == 0x06 && kind.descriptor_tag != 0 &&
            find_descriptor(descriptors, kind.descriptor_tag) != nullptr)
            return kind.name;
    if (find_descriptor(descriptors, 0x46) != nullptr) return "teletext";  // VBI_teletext_descriptor
    if (find_descriptor(descriptors, 0x7B) != nullptr) return "dts";       // DTS_descriptor
    if (find_descriptor(descriptors, 0x7C) != nullptr) return "aac";       // AAC_descriptor
    if (const auto kind = extended(descriptors); !kind.empty()) return kind;
    const auto kind = registered(descriptors);
    return kind.empty() ? "private-data" : kind;
}

}  // namespace

std::string kind_of(const Pmt::Component& component, const Descriptors& programme) {
    const std::uint8_t type = component.stream_type.value;
    if (type == 0x06) return std::string(kind_of_private_pes(component.descriptors));
    if (type == 0x15) {
        if (const auto kind = registered(component.descriptors); !kind.empty()) return std::string(kind);
        if (const auto kind = kind_of_format(metadata_format_of(component.descriptors)); !kind.empty())
            return std::string(kind);
    }
    // Where a format of its own is registered, the user private range means something else.
    if (type >= 0x80 && registration_of(programme) == "HDMV") {
        const auto kind = named(kDiscTypes, type);
        return kind.empty() ? "unknown" : std::string(kind);
    }
    for (const auto& kind : kStreamKinds)
        if (kind.stream_type.value == type) return std::string(kind.name);
    if (const auto kind = named(kForeignTypes, type); !kind.empty()) return std::string(kind);
    const auto kind = type >= 0x80 ? registered(component.descriptors) : std::string_view();
    return kind.empty() ? "unknown" : std::string(kind);
}

Medium medium_of(std::string_view kind) {
    if (const auto known = stream_kind_named(kind)) {
        if (known->video) return Medium::video;
        const bool sound = kind == "mpeg1-audio" || kind == "mpeg2-audio" || kind.starts_with("aac") ||
                           kind.starts_with("ac3") || kind.starts_with("eac3");
        return sound ? Medium::audio : Medium::other;
    }
    const auto found = std::find_if(kForeignKinds.begin(), kForeignKinds.end(),
                                    [&](const auto& k) { return k.name == kind; });
    return found == kForeignKinds.end() ? Medium::other : found->medium;
}

}  // namespace mastline
