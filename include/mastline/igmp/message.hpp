// SPDX-License-Identifier: Apache-2.0
// Group membership messages: IGMP versions 1, 2 and 3 (RFC 1112, 2236, 3376) and MLD versions 1 and
// 2 (RFC 2710, 3810).
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "mastline/bytes/parsed.hpp"
#include "mastline/net/group.hpp"
#include "mastline/net/ip_packet.hpp"
#include "mastline/units/ticks.hpp"

namespace mastline {

enum class MembershipKind : std::uint8_t { query, report, leave };

// One group record of a version 3 (MLD 2) report. Types: 1 is-include, 2 is-exclude, 3 to-include,
// 4 to-exclude, 5 allow, 6 block.
struct GroupRecord {
    std::uint8_t type = 0;
    Group group;
    std::vector<IpAddress> sources;
    bool operator==(const GroupRecord&) const = default;
};

struct MembershipMessage {
    MembershipKind kind = MembershipKind::query;
    IpVersion ip = IpVersion::v4;
    int version = 2;               // of IGMP 1 to 3, of MLD 1 or 2
    std::optional<Group> group;    // none: a general query, or a report with records
    Duration max_response{};       // queries
    int robustness = 0;            // queries of IGMPv3 and MLDv2; 0: not told
    Duration query_interval{};     // likewise; 0: not told
    std::vector<IpAddress> sources;    // of a group-and-source-specific query
    std::vector<GroupRecord> records;  // reports of IGMPv3 and MLDv2
    bool operator==(const MembershipMessage&) const = default;
};

// REQUIRES: packet.protocol is IGMP, or ICMPv6 with a payload of types 130 to 132 or 143.
Parsed<MembershipMessage> parse_membership(const IpPacket& packet);

}  // namespace mastline
