// SPDX-License-Identifier: Apache-2.0
// How long the network takes to start and to stop a group for a receiver.
#pragma once

#include <map>
#include <optional>
#include <set>
#include <vector>

#include "mastline/igmp/membership.hpp"
#include "mastline/verdict/judge.hpp"

namespace mastline {

// Limits that no standard fixes for a venue; common practice.
inline constexpr Duration kJoinLimit = std::chrono::milliseconds(1000);
inline constexpr Duration kAccessLimit = std::chrono::milliseconds(2000);

// RFC 3376 sections 8.8 to 8.10, RFC 3810 sections 9.8 to 9.10: a group without members stops after the
// interval of the queries that follow a leave, times the robustness. As seen on the wire, else by
// default: 1 s times 2. Half a second more for the messages themselves.
Duration leave_limit(const MembershipObservation& membership, IpVersion ip);

struct FlowLatency {
    FlowAddress flow;
    Duration join_sent{};      // of our first membership report; else of the call that joined
    bool report_seen = false;  // the report was seen on the wire
    bool before_join = false;  // the flow came before it was asked for
    std::optional<Duration> to_first_datagram;
    std::optional<Duration> to_first_access;  // to the first picture that PAT and PMT let be decoded
    std::optional<Duration> leave_sent;       // only where leaving was watched
    bool leave_seen = false;                  // the message was seen on the wire
    Duration leave_limit{};                   // where leaving was watched
    std::optional<Duration> to_last_datagram; // none: nothing came after the leave
    bool operator==(const FlowLatency&) const = default;
};

// One per flow of the lineup. `joined`: when each was joined by call. `own`: addresses of ours.
std::vector<FlowLatency> measure_joins(const ExpectedLineup& lineup, const std::vector<Duration>& joined,
                                       const MembershipObservation& membership, const std::set<IpAddress>& own,
                                       const std::vector<FlowObservation>& seen);

// What came after all groups were left at `left`, watched until `end`.
struct Aftermath {
    Duration left{}, end{};
    std::map<Destination, Duration> last;  // last datagram of each flow since
};
void measure_leaves(std::vector<FlowLatency>& latencies, const Aftermath& after,
                    const MembershipObservation& membership, const std::set<IpAddress>& own);

// Adds flow.join, flow.access and flow.leave to the verdicts, which are in the same order.
void judge_latencies(std::vector<Verdict>& verdicts, const std::vector<FlowLatency>& latencies);

}  // namespace mastline
