// SPDX-License-Identifier: Apache-2.0
// What the membership messages on the wire tell: who asks, and who is a member of what.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <tuple>
#include <vector>

#include "mastline/igmp/message.hpp"

namespace mastline {

// One that sends general queries. From 0.0.0.0 it is a switch that stands in for a querier and takes
// no part in the election (RFC 4541 section 2.1.1).
struct QuerierObservation {
    IpAddress address;
    WireNumber wire;          // that it was heard on
    std::string interface;    // its name, where a capture has media on several; else empty
    IpVersion ip = IpVersion::v4;
    int version = 0;  // the last heard
    std::uint64_t queries = 0;
    std::optional<Duration> interval;       // between its last two general queries
    std::optional<Duration> told_interval;  // IGMPv3 and MLDv2 say it
    std::optional<int> robustness;          // likewise: how often a message is sent lest it be lost
    Duration max_response{};
    Duration first{}, last{};               // arrival
    bool operator==(const QuerierObservation&) const = default;
};

struct MemberObservation {
    IpAddress address;
    Group group;
    WireNumber wire;          // as of a querier
    std::string interface;
    std::set<IpAddress> sources;  // of a source-specific membership; empty: any source
    int version = 0;
    bool left = false;            // the last word was a leave
    std::optional<Duration> first;    // arrival of the first report
    std::optional<Duration> left_at;  // of the leave, where the last word was one
    Duration last{};
    bool operator==(const MemberObservation&) const = default;
};

// The last query after members of one group, as one is sent when a member leaves.
struct GroupQuery {
    Duration max_response{};        // the Last Member Query Interval (RFC 3376 section 8.8)
    std::optional<int> robustness;  // IGMPv3 and MLDv2 say it
    bool operator==(const GroupQuery&) const = default;
};

struct MembershipObservation {
    std::vector<QuerierObservation> queriers;  // by wire, then address
    std::vector<MemberObservation> members;    // by wire, group, then address
    std::map<IpVersion, GroupQuery> group_queries;
    std::uint64_t malformed = 0;
    bool operator==(const MembershipObservation&) const = default;
};

class MembershipMonitor {
public:
    void packet(const IpPacket& packet);
    MembershipObservation observe() const;

private:
    void query(const IpPacket& packet, const MembershipMessage& message);
    void member(const IpPacket& packet, Group group, int version, bool left,
                const std::vector<IpAddress>& sources);
    void record(const IpPacket& packet, const GroupRecord& record, int version);

    std::map<std::pair<WireNumber, IpAddress>, QuerierObservation> queriers_;
    std::map<std::tuple<WireNumber, Group, IpAddress>, MemberObservation> members_;
    std::map<IpVersion, GroupQuery> group_queries_;
    std::uint64_t malformed_ = 0;
};

}  // namespace mastline
