// SPDX-License-Identifier: Apache-2.0
#include "tools/rehearse/ts/descriptors.hpp"

#include <algorithm>

namespace mastline {

namespace {

// ISO/IEC 13818-1 table 2-45 and EN 300 468 table 12.
constexpr unsigned kRegistrationTag = 0x05, kLanguageTag = 0x0A, kServiceTag = 0x48,
                   kTeletextTag = 0x56, kSubtitlingTag = 0x59, kAc3Tag = 0x6A, kEac3Tag = 0x7A;

// Undetermined (ISO 639-2) when the plan tells none.
std::string language_code(std::string_view language) {
    return language.size() == 3 ? std::string(language) : "und";
}

void add_registration(ByteWriter& out, std::string_view format_identifier) {
    out.u8(kRegistrationTag).u8(4).text(format_identifier);
}

void add_language(ByteWriter& out, std::string_view language) {
    if (language.empty()) return;
    out.u8(kLanguageTag).u8(4).text(language_code(language)).u8(0x00);  // audio_type: undefined
}

// EN 300 468 table 87: from the kinds that the programme is made of.
unsigned service_type(const Expectation& expectation) {
    const auto has = [&](std::string_view kind) {
        return std::any_of(expectation.components.begin(), expectation.components.end(),
                           [&](const ExpectedComponent& c) { return c.kind == kind; });
    };
    if (has("hevc")) return 0x1F;
    if (has("h264")) return 0x19;
    if (has("mpeg2-video") || has("mpeg1-video")) return 0x01;
    if (has("mpeg1-audio") || has("mpeg2-audio")) return 0x02;
    if (has("aac") || has("aac-latm") || has("ac3") || has("eac3")) return 0x0A;
    return 0x0C;  // data broadcast
}

}  // namespace

std::string dvb_text(std::string_view utf8) {
    const bool plain =
        std::all_of(utf8.begin(), utf8.end(), [](char c) { return c >= 0x20 && c < 0x7F; });
    return plain ? std::string(utf8) : "\x15" + std::string(utf8);
}

ByteWriter component_descriptors(const StreamKind& kind, std::string_view language) {
    ByteWriter out;
    const bool timed_text =
        kind.descriptor_tag == kTeletextTag || kind.descriptor_tag == kSubtitlingTag;
    if (!kind.video && !timed_text) add_language(out, language);
    switch (kind.descriptor_tag) {
        case kTeletextTag:  // teletext_type 1, initial page 100 in magazine 1
            out.u8(kTeletextTag).u8(5).text(language_code(language)).u8((1U << 3) | 1U).u8(0x00);
            break;
        case kSubtitlingTag:  // subtitling_type 0x10: no aspect ratio; composition and ancillary
                              // page 1
            out.u8(kSubtitlingTag).u8(8).text(language_code(language)).u8(0x10).u16(1).u16(1);
            break;
        case kAc3Tag:
            out.u8(kAc3Tag).u8(1).u8(0x00);
            break;  // no optional field
        case kEac3Tag:
            out.u8(kEac3Tag).u8(1).u8(0x00);
            break;
        default:
            break;
    }
    if (kind.name == "ac3-atsc") add_registration(out, "AC-3");  // A/52 Annex A
    if (kind.name == "eac3-atsc") add_registration(out, "EAC3");
    return out;
}

ByteWriter programme_descriptors(const Expectation& expectation) {
    ByteWriter out;
    for (const auto& component : expectation.components)
        if (component.kind == "scte35") {
            add_registration(out, "CUEI");
            break;
        }
    return out;
}

ByteWriter service_descriptor(const Expectation& expectation) {
    const std::string provider = dvb_text(expectation.provider);
    const std::string name = dvb_text(expectation.service_name);
    ByteWriter out;
    out.u8(kServiceTag).u8(static_cast<unsigned>(3 + provider.size() + name.size()));
    out.u8(service_type(expectation));
    out.u8(static_cast<unsigned>(provider.size())).text(provider);
    out.u8(static_cast<unsigned>(name.size())).text(name);
    return out;
}

}  // namespace mastline
