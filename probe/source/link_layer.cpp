// SPDX-License-Identifier: Apache-2.0
#include "mastline/source/link_layer.hpp"

#include <algorithm>
#include <array>

namespace mastline {

namespace {

constexpr std::uint16_t kTypeIpv4 = 0x0800;
constexpr std::uint16_t kTypeIpv6 = 0x86DD;
constexpr std::uint16_t kTypeMpls = 0x8847, kTypeMplsMulticast = 0x8848;  // RFC 5332 section 4
constexpr std::uint16_t kTypePppoeSession = 0x8864;                        // RFC 2516 section 4
constexpr std::uint16_t kLargestLength = 1500;  // IEEE 802.3: up to here a length, not a type

// LINKTYPE_RAW is 101 in files; 12 and 14 are what some systems wrote before it had a number.
constexpr std::array kBareIp{kLinkRaw, kLinkIpv4, kLinkIpv6, LinkType{12}, LinkType{14}};

// 802.1Q, 802.1ad, and the type that older double-tagging equipment uses (common practice).
bool is_vlan_tag(std::uint16_t type) { return type == 0x8100 || type == 0x88A8 || type == 0x9100; }

// RFC 3032 section 2.1: |Label 20|TC 3|S 1|TTL 8|, S in the last. What follows is told by the label alone, which only the
// routers know: taken for IP where its first four bits are a version of it (common practice; RFC 4385 section 2 has
// other payloads avoid these).
std::optional<ByteView> behind_labels(ByteView stack) {
    while (stack.size() >= 4) {
        const bool bottom = (read_u8(stack, 2) & 1) != 0;
        stack = stack.subspan(4);
        if (!bottom) continue;
        if (stack.empty()) return std::nullopt;
        const auto version = read_u8(stack, 0) >> 4;
        return version == 4 || version == 6 ? std::optional(stack) : std::nullopt;
    }
    return std::nullopt;
}

// RFC 2516 section 4: |VER 4|TYPE 4|CODE 8|SESSION_ID 16|LENGTH 16|, both 1, CODE 0 for a session; then the protocol of
// PPP, 0x0021 for IPv4 and 0x0057 for IPv6 (RFC 1332, RFC 5072), whose first octet may be left out (RFC 1661 section 6.5).
std::optional<ByteView> behind_pppoe(ByteView session) {
    if (session.size() < 8 || read_u16(session, 0) != 0x1100) return std::nullopt;
    const std::size_t left_out = read_u8(session, 6) & 1;
    const auto protocol = left_out == 1 ? read_u8(session, 6) : read_u16(session, 6);
    return protocol == 0x0021 || protocol == 0x0057 ? std::optional(session.subspan(8 - left_out)) : std::nullopt;
}

std::optional<ByteView> ip_of_type(std::uint16_t type, ByteView rest) {
    switch (type) {
        case kTypeIpv4:
        case kTypeIpv6: return rest;
        case kTypeMpls:
        case kTypeMplsMulticast: return behind_labels(rest);
        case kTypePppoeSession: return behind_pppoe(rest);
        default: return std::nullopt;
    }
}

// `rest` starts behind the type field.
std::optional<FramedIp> behind_type(std::uint16_t type, ByteView rest) {
    VlanTags tags{true, 0, {}};
    while (is_vlan_tag(type)) {
        if (rest.size() < 4) return std::nullopt;
        tags.add({static_cast<std::uint16_t>(read_u16(rest, 0) & 0x0FFF)});  // |PCP 3|DEI 1|VID 12|
        type = read_u16(rest, 2);
        rest = rest.subspan(4);
    }
    // IEEE 802.2 SNAP: AA AA 03, organisation 00 00 00, then the type.
    if (type <= kLargestLength && rest.size() >= 8 && read_u32(rest, 0) == 0xAAAA0300U &&
        read_u16(rest, 4) == 0) {
        type = read_u16(rest, 6);
        rest = rest.subspan(8);
    }
    const auto packet = ip_of_type(type, rest);
    return packet ? std::optional(FramedIp{*packet, tags}) : std::nullopt;
}

std::optional<FramedIp> behind_header(ByteView frame, std::size_t type_at, std::size_t header) {
    if (frame.size() < header) return std::nullopt;
    return behind_type(read_u16(frame, type_at), frame.subspan(header));
}

// Four bytes of address family in either byte order. AF_INET is 2 everywhere; AF_INET6 is 10, 24,
// 28 or 30 by system (LINKTYPE_NULL, LINKTYPE_LOOP).
std::optional<FramedIp> behind_family(ByteView frame) {
    if (frame.size() < 4) return std::nullopt;
    const std::uint32_t big = read_u32(frame, 0);
    const std::uint32_t family = big > 0xFFFF ? big >> 24 : big;
    constexpr std::array<std::uint32_t, 5> known{2, 10, 24, 28, 30};
    if (std::ranges::find(known, family) == known.end()) return std::nullopt;
    return FramedIp{frame.subspan(4), {}};
}

bool is_bare_ip(LinkType link) { return std::ranges::find(kBareIp, link) != kBareIp.end(); }

}  // namespace

bool is_known(LinkType link) {
    constexpr std::array framed{kLinkNull, kLinkEthernet, kLinkLoop, kLinkLinuxCooked,
                                kLinkLinuxCooked2};
    return is_bare_ip(link) || std::ranges::find(framed, link) != framed.end();
}

std::optional<FramedIp> ip_in_frame(LinkType link, ByteView frame) {
    // destination 6, source 6, type 2
    if (link == kLinkEthernet) return behind_header(frame, 12, 14);
    // packet type 2, ARPHRD 2, address length 2, address 8, protocol 2
    if (link == kLinkLinuxCooked) return behind_header(frame, 14, 16);
    // protocol 2, reserved 2, interface 4, ARPHRD 2, packet type 1, address length 1, address 8
    if (link == kLinkLinuxCooked2) return behind_header(frame, 0, 20);
    if (link == kLinkNull || link == kLinkLoop) return behind_family(frame);
    if (is_bare_ip(link)) return FramedIp{frame, {}};
    return std::nullopt;
}

}  // namespace mastline
