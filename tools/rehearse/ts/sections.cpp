// SPDX-License-Identifier: Apache-2.0
#include "tools/rehearse/ts/sections.hpp"

#include "mastline/bytes/crc32.hpp"
#include "tools/rehearse/ts/descriptors.hpp"

namespace mastline {

namespace {

constexpr std::size_t kCrcSize = 4;
// "Private temporary use" (TS 101 162): the plan knows no network of its own.
constexpr unsigned kOriginalNetwork = 0xFF01;

unsigned size_of(const ByteWriter& bytes) {
    return static_cast<unsigned>(bytes.size());
}

// A section with the long header: version 0, current, number 0 of 0. `flags` are the two bits after
// section_syntax_indicator with the reserved ones: 0x30 for PSI ('0'), 0x70 for DVB tables.
Section long_section(unsigned table_id, unsigned flags, unsigned extension,
                     const ByteWriter& body) {
    ByteWriter out;
    const auto length = static_cast<unsigned>(5 + body.size() + kCrcSize);
    out.u8(table_id).u16(((0x80U | flags) << 8) | length);
    out.u16(extension).u8(0xC1).u8(0).u8(0).append(body.view());
    out.u32(crc32_mpeg2(out.view()));
    return std::move(out).take();
}

unsigned bcd(std::int64_t value) {
    return static_cast<unsigned>((value / 10) * 16 + value % 10);
}

}  // namespace

Section pat_section(const Expectation& expectation) {
    ByteWriter body;
    body.u16(expectation.program_number.value).u16(0xE000U | expectation.pmt_pid.value());
    return long_section(0x00, 0x30, expectation.transport_stream_id, body);
}

Section pmt_section(const Expectation& expectation) {
    const ByteWriter programme = programme_descriptors(expectation);
    ByteWriter body;
    body.u16(0xE000U | expectation.pcr_pid.value());
    body.u16(0xF000U | size_of(programme)).append(programme.view());
    for (const auto& component : expectation.components) {
        const StreamKind kind = *stream_kind_named(component.kind);
        const ByteWriter descriptors = component_descriptors(kind, component.language);
        body.u8(kind.stream_type.value).u16(0xE000U | component.pid.value());
        body.u16(0xF000U | size_of(descriptors)).append(descriptors.view());
    }
    return long_section(0x02, 0x30, expectation.program_number.value, body);
}

Section sdt_section(const Expectation& expectation) {
    const ByteWriter descriptor = service_descriptor(expectation);
    ByteWriter body;
    body.u16(kOriginalNetwork).u8(0xFF);
    body.u16(expectation.program_number.value).u8(0xFC);                // no EIT
    body.u16(0x8000U | size_of(descriptor)).append(descriptor.view());  // running, not scrambled
    return long_section(0x42, 0x70, expectation.transport_stream_id, body);
}

Section tdt_section(UtcSeconds time) {
    ByteWriter out;
    out.u8(0x70).u16(0x7005);
    std::array<std::byte, 5> utc{};
    write_utc_time(utc, time);
    return std::move(out.append(utc)).take();
}

// splice_info_section: protocol_version 0, not encrypted, pts_adjustment 0, cw_index 0, tier 0xFFF,
// splice_command_length 0, splice_command_type 0 (splice_null), no descriptors.
Section cue_section() {
    ByteWriter out;
    out.u8(0xFC).u16(0x3011).u8(0);
    out.u8(0).u32(0).u8(0);
    out.u16(0xFFF0).u8(0x00).u8(0x00).u16(0);
    out.u32(crc32_mpeg2(out.view()));
    return std::move(out).take();
}

Section private_section() {
    ByteWriter body;
    body.u8(0);
    return long_section(0x80, 0x70, 0, body);
}

void write_utc_time(ByteSpan out, UtcSeconds time) {
    constexpr std::int64_t unix_epoch_mjd = 40587;  // 1970-01-01
    const std::int64_t seconds = time.time_since_epoch().count();
    const std::int64_t of_day = seconds % 86400;
    write_u16(out, 0, static_cast<unsigned>(unix_epoch_mjd + seconds / 86400));
    write_u8(out, 2, bcd(of_day / 3600));
    write_u8(out, 3, bcd(of_day / 60 % 60));
    write_u8(out, 4, bcd(of_day % 60));
}

std::vector<Packet> section_packets(Pid pid, ByteView section) {
    std::vector<Packet> out;
    while (!section.empty() || out.empty()) {
        Packet packet;
        packet.fill(std::byte{0xFF});
        const bool first = out.empty();
        write_header(packet, pid, first, false, true);
        std::size_t at = kTsHeaderSize;
        if (first) packet[at++] = std::byte{0};  // pointer_field
        const std::size_t count = std::min(section.size(), packet.size() - at);
        std::copy_n(section.begin(), count, packet.begin() + static_cast<std::ptrdiff_t>(at));
        section = section.subspan(count);
        out.push_back(packet);
    }
    return out;
}

}  // namespace mastline
