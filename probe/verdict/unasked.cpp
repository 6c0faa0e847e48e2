// SPDX-License-Identifier: Apache-2.0
#include "mastline/verdict/unasked.hpp"

#include <algorithm>

#include "mastline/net/mac_address.hpp"
#include "probe/verdict/checklist.hpp"

namespace mastline {

namespace {

constexpr std::size_t kMostNamed = 5;

// Routers never forward them, and switches never filter them: 224.0.0.0/24 (RFC 5771 section 4),
// IPv6 of interface-local and link-local scope (RFC 4291 section 2.7).
bool is_local(const IpAddress& a) {
    if (a.is_v4()) return a.v4_value() >> 8 == 0xE00000;
    return (a.bytes()[1] & 0x0F) <= 2;
}

bool same_mac(const IpAddress& a, const Group& b) {
    const auto group = Group::of(a);
    return group && *group != b && mac_of(*group) == mac_of(b);
}

void name(std::string& list, std::size_t number, const std::string& what) {
    if (number < kMostNamed) list += (list.empty() ? "" : ", ") + what;
    else if (number == kMostNamed) list += " and more";
}

}  // namespace

std::vector<Check> judge_unasked(const ExpectedLineup& lineup, const std::vector<FlowObservation>& unasked) {
    std::size_t flooded = 0, equal = 0;
    std::string floods, equals;
    for (const auto& f : unasked) {
        if (f.fec != FecRole::none) continue;  // comes with the group that it protects
        if (!f.destination.address.is_multicast() || is_local(f.destination.address) || f.datagrams == 0) continue;
        name(floods, flooded++, heard_text(f));
        for (const auto& e : lineup.flows)
            if (same_mac(f.destination.address, e.flow.group))
                name(equals, equal++, to_text(f.destination.address) + " like " + to_text(e.flow.group) + " of channel " + e.channel);
    }
    Checklist list;
    if (flooded > 0)
        list.note("network.flood", "only groups that were asked for", counted(flooded, "flow*") + " that nobody asked for: " + floods,
                  "snooping is off, or another member is behind this port");
    if (equal > 0)
        list.note("network.mac-equal", "no group with the MAC address of a planned one", equals,
                  "a switch that filters by MAC address cannot tell them apart");
    return list.take();
}

}  // namespace mastline
