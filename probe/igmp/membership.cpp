// SPDX-License-Identifier: Apache-2.0
#include "mastline/igmp/membership.hpp"

namespace mastline {

void MembershipMonitor::packet(const IpPacket& packet) {
    const auto message = parse_membership(packet);
    if (!message) {
        ++malformed_;
        return;
    }
    switch (message->kind) {
        case MembershipKind::query: query(packet, *message); break;
        case MembershipKind::leave: member(packet, *message->group, message->version, true, {}); break;
        case MembershipKind::report:
            if (message->group) member(packet, *message->group, message->version, false, {});
            for (const auto& r : message->records) record(packet, r, message->version);
            break;
    }
}

void MembershipMonitor::query(const IpPacket& packet, const MembershipMessage& message) {
    // RFC 3376 section 4.1.6: 0 tells nothing.
    const auto robustness = message.robustness > 0 ? std::optional(message.robustness) : std::nullopt;
    if (message.group) {  // only general queries tell the interval
        group_queries_[message.ip] = {message.max_response, robustness};
        return;
    }
    auto& q = queriers_[{packet.frame.wire, packet.source}];
    if (q.queries == 0) q.first = packet.arrival;
    else q.interval = packet.arrival - q.last;
    q.address = packet.source;
    q.wire = packet.frame.wire;
    q.ip = message.ip;
    q.version = message.version;
    q.max_response = message.max_response;
    if (message.query_interval > Duration{}) q.told_interval = message.query_interval;
    if (robustness) q.robustness = robustness;
    q.last = packet.arrival;
    ++q.queries;
}

void MembershipMonitor::member(const IpPacket& packet, Group group, int version, bool left,
                               const std::vector<IpAddress>& sources) {
    auto& m = members_[{packet.frame.wire, group, packet.source}];
    m.address = packet.source;
    m.group = group;
    m.wire = packet.frame.wire;
    m.version = version;
    if (!left && !m.first) m.first = packet.arrival;
    if (!left) m.left_at.reset();
    else if (!m.left_at) m.left_at = packet.arrival;  // a leave is repeated (RFC 3376 section 5.1)
    m.left = left;
    m.last = packet.arrival;
    m.sources = {sources.begin(), sources.end()};
}

// RFC 3376 section 4.2.12.
void MembershipMonitor::record(const IpPacket& packet, const GroupRecord& record, int version) {
    switch (record.type) {
        case 1:    // is-include, to-include: exactly these sources; none is a leave
        case 3: member(packet, record.group, version, record.sources.empty(), record.sources); break;
        case 2:    // is-exclude, to-exclude: any source but these
        case 4: member(packet, record.group, version, false, {}); break;
        case 5: {  // allow
            auto& m = members_[{packet.frame.wire, record.group, packet.source}];
            std::vector<IpAddress> all(m.sources.begin(), m.sources.end());
            all.insert(all.end(), record.sources.begin(), record.sources.end());
            member(packet, record.group, version, false, all);
            break;
        }
        case 6: {  // block
            const auto found = members_.find({packet.frame.wire, record.group, packet.source});
            if (found == members_.end() || found->second.sources.empty()) return;
            auto left = found->second.sources;
            for (const auto& s : record.sources) left.erase(s);
            member(packet, record.group, version, left.empty(), {left.begin(), left.end()});
            break;
        }
        default: ++malformed_;
    }
}

MembershipObservation MembershipMonitor::observe() const {
    MembershipObservation out;
    out.malformed = malformed_;
    out.group_queries = group_queries_;
    for (const auto& [key, q] : queriers_) out.queriers.push_back(q);
    for (const auto& [key, m] : members_) out.members.push_back(m);
    return out;
}

}  // namespace mastline
