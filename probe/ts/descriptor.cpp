// SPDX-License-Identifier: Apache-2.0
#include "mastline/ts/descriptor.hpp"

#include <algorithm>

namespace mastline {

namespace {

// EN 300 468 table 12: how many bytes stand per language, which come first.
std::size_t bytes_per_language(std::uint8_t tag) {
    switch (tag) {
        case 0x0A: return 4;  // ISO_639_language_descriptor: code, audio_type
        case 0x46:            // VBI_teletext_descriptor, as
        case 0x56: return 5;  // teletext_descriptor: code, type, magazine, page
        case 0x59: return 8;  // subtitling_descriptor: code, type, two page ids
        default: return 0;
    }
}

char printable(std::byte b) {
    const auto c = std::to_integer<unsigned char>(b);
    return c >= 0x20 && c < 0x7F ? static_cast<char>(c) : '?';
}

std::string text_of(ByteView bytes) {
    std::string out;
    for (const std::byte b : bytes) out += printable(b);
    return out;
}

}  // namespace

Descriptors parse_descriptors(ByteView loop) {
    Descriptors all;
    while (loop.size() >= 2) {
        const std::size_t length = read_u8(loop, 1);
        if (2 + length > loop.size()) break;
        const ByteView body = loop.subspan(2, length);
        all.push_back({read_u8(loop, 0), {body.begin(), body.end()}});
        loop = loop.subspan(2 + length);
    }
    return all;
}

const Descriptor* find_descriptor(const Descriptors& all, std::uint8_t tag) {
    const auto found = std::find_if(all.begin(), all.end(), [&](const auto& d) { return d.tag == tag; });
    return found == all.end() ? nullptr : &*found;
}

std::string registration_of(const Descriptors& all) {
    const Descriptor* d = find_descriptor(all, 0x05);
    return d == nullptr || d->body.size() < 4 ? "" : text_of(ByteView(d->body).first(4));
}

std::string language_code(ByteView three) { return read_u8(three, 0) == 0 ? std::string() : text_of(three); }

std::vector<std::string> languages_of(const Descriptors& all) {
    std::vector<std::string> out;
    for (const auto& d : all) {
        const std::size_t step = bytes_per_language(d.tag);
        for (std::size_t at = 0; step > 0 && at + 3 <= d.body.size(); at += step) {
            const std::string code = language_code(ByteView(d.body).subspan(at, 3));
            if (!code.empty() && std::find(out.begin(), out.end(), code) == out.end()) out.push_back(code);
        }
    }
    return out;
}

std::optional<AudioFormat> opus_format_of(const Descriptors& all) {
    if (registration_of(all) != "Opus") return std::nullopt;
    for (const auto& d : all) {
        if (d.tag != 0x7F || d.body.size() < 2 || read_u8(d.body, 0) != 0x80) continue;
        const unsigned code = read_u8(d.body, 1);  // 0: two single channels
        if (code > 8) return std::nullopt;
        return AudioFormat{.profile = "Opus", .sample_rate = Frequency(48'000), .channels = code == 0 ? 2 : code};
    }
    return std::nullopt;
}

bool announces_stills(const Descriptors& all) {
    const auto has_bit = [](const Descriptor& d, std::size_t byte, unsigned bit) {
        return d.body.size() > byte && (read_u8(d.body, byte) & bit) != 0;
    };
    return std::any_of(all.begin(), all.end(), [&](const Descriptor& d) {
        switch (d.tag) {
            case 0x02: return has_bit(d, 0, 0x01);   // still_picture_flag
            case 0x28: return has_bit(d, 3, 0x80);   // AVC_still_present
            case 0x38: return has_bit(d, 12, 0x40);  // HEVC_still_present_flag
            default: return false;
        }
    });
}

std::string metadata_format_of(const Descriptors& all) {
    const Descriptor* d = find_descriptor(all, 0x26);
    if (d == nullptr || d->body.size() < 2) return {};
    const std::size_t format = read_u16(d->body, 0) == 0xFFFF ? 6 : 2;  // behind the application's own identifier
    if (d->body.size() < format + 5 || read_u8(d->body, format) != 0xFF) return {};
    return text_of(ByteView(d->body).subspan(format + 1, 4));
}

std::vector<Pid> ca_pids_of(const Descriptors& all) {
    std::vector<Pid> out;
    for (const auto& d : all)
        if (d.tag == 0x09 && d.body.size() >= 4) out.emplace_back(read_u16(d.body, 2));
    return out;
}

}  // namespace mastline
