// SPDX-License-Identifier: Apache-2.0
#include "mastline/igmp/message.hpp"

#include <array>

namespace mastline {

namespace {

using std::chrono::milliseconds;

// Max Resp Code and QQIC, RFC 3376 sections 4.1.1 and 4.1.7: from 128 on |1|exp 3|mant 4|.
std::int64_t code_8(std::uint8_t code) {
    if (code < 128) return code;
    return std::int64_t{(code & 0x0F) | 0x10} << (((code >> 4) & 7) + 3);
}

// Maximum Response Code, RFC 3810 section 5.1.3: from 32768 on |1|exp 3|mant 12|.
std::int64_t code_16(std::uint16_t code) {
    if (code < 32768) return code;
    return std::int64_t{(code & 0x0FFF) | 0x1000} << (((code >> 12) & 7) + 3);
}

IpAddress address_at(ByteView bytes, std::size_t at, IpVersion version) {
    if (version == IpVersion::v4) return IpAddress::v4(read_u32(bytes, at));
    std::array<std::uint8_t, 16> out{};
    for (std::size_t i = 0; i < out.size(); ++i) out[i] = read_u8(bytes, at + i);
    return IpAddress::v6(out);
}

std::size_t width(IpVersion version) { return version == IpVersion::v4 ? 4 : 16; }

// The tail that version 3 and MLDv2 queries share, from the robustness byte on:
// |Resv|S|QRV| QQIC | Number of Sources (N) | Source Address [1..N] |
std::optional<ParseFault> read_query_tail(ByteView bytes, std::size_t at, MembershipMessage& out) {
    out.robustness = read_u8(bytes, at) & 7;
    out.query_interval = std::chrono::seconds(code_8(read_u8(bytes, at + 1)));
    const std::size_t count = read_u16(bytes, at + 2);
    const std::size_t step = width(out.ip);
    if ((bytes.size() - at - 4) / step < count)
        return ParseFault{"fewer sources than announced", at + 2};
    for (std::size_t i = 0; i < count; ++i)
        out.sources.push_back(address_at(bytes, at + 4 + i * step, out.ip));
    return std::nullopt;
}

// |Record Type|Aux Data Len|Number of Sources (N)|Multicast Address|Source Address [1..N]|Aux Data|
Parsed<MembershipMessage> read_records(ByteView bytes, MembershipMessage out) {
    const std::size_t step = width(out.ip);
    const std::size_t count = read_u16(bytes, 6);
    std::size_t at = 8;
    for (std::size_t i = 0; i < count; ++i) {
        if (bytes.size() - at < 4 + step) return ParseFault{"a group record is cut short", at};
        const std::size_t sources = read_u16(bytes, at + 2);
        const std::size_t size = 4 + step * (1 + sources) + std::size_t{read_u8(bytes, at + 1)} * 4;
        if (bytes.size() - at < size) return ParseFault{"a group record is cut short", at};
        const auto group = Group::of(address_at(bytes, at + 4, out.ip));
        if (!group) return ParseFault{"a group record names no multicast group", at + 4};
        GroupRecord record{read_u8(bytes, at), *group, {}};
        for (std::size_t s = 0; s < sources; ++s)
            record.sources.push_back(address_at(bytes, at + 4 + step * (1 + s), out.ip));
        out.records.push_back(std::move(record));
        at += size;
    }
    return out;
}

Parsed<MembershipMessage> with_group(ByteView bytes, std::size_t at, MembershipMessage out) {
    const IpAddress address = address_at(bytes, at, out.ip);
    out.group = Group::of(address);
    if (!out.group && (out.kind != MembershipKind::query || !address.is_unspecified()))
        return ParseFault{"the group address is no multicast group", at};
    return out;
}

// |Type|Max Resp Time|Checksum|Group Address|   RFC 2236; longer ones are version 3
Parsed<MembershipMessage> parse_igmp(ByteView bytes) {
    if (bytes.size() < 8) return ParseFault{"IGMP message is cut short", bytes.size()};
    MembershipMessage out;
    const std::uint8_t code = read_u8(bytes, 1);
    switch (read_u8(bytes, 0)) {
        case 0x11:
            // RFC 3376 section 7.1: the version by length and code.
            out.version = bytes.size() >= 12 ? 3 : code == 0 ? 1 : 2;
            out.max_response = milliseconds(100) * (out.version == 3 ? code_8(code) : code);
            // RFC 2236 section 4: the unused field of version 1 stands for 10 s.
            if (out.version == 1) out.max_response = std::chrono::seconds(10);
            if (out.version == 3)
                if (const auto fault = read_query_tail(bytes, 8, out)) return *fault;
            return with_group(bytes, 4, std::move(out));
        case 0x12:
        case 0x16:
            out.kind = MembershipKind::report;
            out.version = read_u8(bytes, 0) == 0x12 ? 1 : 2;
            return with_group(bytes, 4, std::move(out));
        case 0x17:
            out.kind = MembershipKind::leave;
            return with_group(bytes, 4, std::move(out));
        case 0x22:
            out.kind = MembershipKind::report;
            out.version = 3;
            return read_records(bytes, std::move(out));
        default: return ParseFault{"IGMP type is unknown", 0};
    }
}

// |Type|Code|Checksum|Maximum Response Delay|Reserved|Multicast Address 16|   RFC 2710, RFC 3810
Parsed<MembershipMessage> parse_mld(ByteView bytes) {
    const std::uint8_t type = bytes.empty() ? std::uint8_t{0} : read_u8(bytes, 0);
    MembershipMessage out;
    out.ip = IpVersion::v6;
    if (type == 143) {
        if (bytes.size() < 8) return ParseFault{"MLD message is cut short", bytes.size()};
        out.kind = MembershipKind::report;
        out.version = 2;
        return read_records(bytes, std::move(out));
    }
    if (bytes.size() < 24) return ParseFault{"MLD message is cut short", bytes.size()};
    out.version = 1;
    if (type == 130) {
        out.version = bytes.size() >= 28 ? 2 : 1;
        const std::uint16_t code = read_u16(bytes, 4);
        out.max_response = milliseconds(out.version == 2 ? code_16(code) : code);
        if (out.version == 2)
            if (const auto fault = read_query_tail(bytes, 24, out)) return *fault;
    } else {
        out.kind = type == 131 ? MembershipKind::report : MembershipKind::leave;
    }
    return with_group(bytes, 8, std::move(out));
}

}  // namespace

Parsed<MembershipMessage> parse_membership(const IpPacket& packet) {
    return packet.protocol == kProtocolIgmp ? parse_igmp(packet.payload) : parse_mld(packet.payload);
}

}  // namespace mastline
