// SPDX-License-Identifier: Apache-2.0
#include "mastline/ts/virtual_channels.hpp"

#include "mastline/ts/atsc_text.hpp"
#include "mastline/ts/descriptor.hpp"

namespace mastline {

namespace {

constexpr std::size_t kChannelSize = 32;  // without its descriptors

// The long name, of the first extended_channel_name_descriptor.
std::string long_name(const Descriptors& all) {
    const Descriptor* named = find_descriptor(all, 0xA0);
    return named == nullptr ? "" : multiple_string_text(named->body);
}

VirtualChannels::Channel channel_at(ByteView b, bool cable) {
    const std::uint32_t numbers = read_u32(b, 14);  // reserved 4, major 10, minor 10, modulation 8
    const std::uint16_t flags = read_u16(b, 26);
    return {.short_name = utf16_text(b.first(14)),  // seven code units, filled up with zeros
            .major = static_cast<std::uint16_t>((numbers >> 18) & 0x3FFU),
            .minor = static_cast<std::uint16_t>((numbers >> 8) & 0x3FFU),
            .channel_tsid = read_u16(b, 22),
            .program_number = {read_u16(b, 24)},
            .etm_location = static_cast<std::uint8_t>(flags >> 14),
            .access_controlled = (flags & 0x2000U) != 0,
            .hidden = (flags & 0x1000U) != 0,
            .out_of_band = cable && (flags & 0x0400U) != 0,
            .service_type = static_cast<std::uint8_t>(flags & 0x3FU)};
}

}  // namespace

Parsed<VirtualChannels> parse_virtual_channels(const Section& section) {
    const ByteView body = section.body;
    if ((section.table_id != 0xC8 && section.table_id != 0xC9) || !section.section_syntax_indicator)
        return ParseFault{"not a virtual channel section", 0};
    if (body.size() < 2) return ParseFault{"section too short for num_channels_in_section", 8};
    VirtualChannels out{.transport_stream_id = section.table_id_extension};
    std::size_t at = 2;
    for (int left = read_u8(body, 1); left > 0; --left) {
        if (at + kChannelSize > body.size()) return ParseFault{"channel cut short", 8 + at};
        out.channels.push_back(channel_at(body.subspan(at, kChannelSize), section.table_id == 0xC9));
        const std::size_t told = read_u16(body, at + 30) & 0x3FFU;
        at += kChannelSize;
        if (at + told > body.size()) return ParseFault{"descriptors of a channel cut short", 8 + at};
        const auto descriptors = parse_descriptors(body.subspan(at, told));
        out.channels.back().long_name = long_name(descriptors);
        out.channels.back().location = service_location_of(descriptors);
        at += told;
    }
    return out;
}

std::string number_text(const VirtualChannels::Channel& channel) {
    if ((channel.major & 0x3F0U) == 0x3F0U)
        return std::to_string(((channel.major & 0x00FU) << 10) + channel.minor);
    return std::to_string(channel.major) + "." + std::to_string(channel.minor);
}

Parsed<std::vector<Pid>> parse_master_guide_pids(const Section& section) {
    const ByteView body = section.body;
    if (section.table_id != 0xC7 || !section.section_syntax_indicator)
        return ParseFault{"not a master guide section", 0};
    if (body.size() < 3) return ParseFault{"section too short for tables_defined", 8};
    std::vector<Pid> out;
    std::size_t at = 3;
    for (int left = read_u16(body, 1); left > 0; --left) {
        if (at + 11 > body.size()) return ParseFault{"table cut short", 8 + at};
        out.emplace_back(read_u16(body, at + 2));
        at += 11U + (read_u16(body, at + 9) & 0x0FFFU);
    }
    return out;
}

}  // namespace mastline
