// SPDX-License-Identifier: Apache-2.0
#include "mastline/verdict/latency.hpp"

#include <algorithm>

#include "probe/verdict/checklist.hpp"

namespace mastline {

namespace {

std::string latency_text(Duration d) { return fixed_text(static_cast<double>(d.count()) / 1e6, 1) + " ms"; }

std::string latency_text(Duration d, Duration limit) { return time_text(d, limit, TimeUnit::milliseconds, 1); }

const MemberObservation* own_membership(const MembershipObservation& all, const std::set<IpAddress>& own, const Group& group) {
    for (const auto& m : all.members)
        if (m.group == group && own.contains(m.address)) return &m;
    return nullptr;
}

std::optional<Duration> first_access(const FlowObservation& seen, ProgramNumber number) {
    if (!seen.stream || seen.stream->time_base != TimeBase::arrival) return std::nullopt;
    const auto& all = seen.stream->programmes;
    const auto found = std::ranges::find(all, number, &ProgrammeObservation::program_number);
    return found == all.end() ? std::nullopt : found->first_access;
}

void check_join(const FlowLatency& l, Checklist& list) {
    const std::string expected = "first datagram within " + latency_text(kJoinLimit) + " of the join";
    const std::string since = l.report_seen ? "from the membership report on the wire" : "from the call that joined";
    if (l.before_join) list.note("flow.join", expected, "arrived before it was asked for", "flooded, or another member on this port");
    else if (!l.to_first_datagram) list.skip("flow.join", "nothing arrived");
    else if (*l.to_first_datagram > kJoinLimit) list.fail("flow.join", expected, latency_text(*l.to_first_datagram, kJoinLimit), since);
    else list.pass("flow.join", expected, latency_text(*l.to_first_datagram));
}

// How long until a picture depends on the encoder as well: never a failure of the network.
void check_access(const FlowLatency& l, Checklist& list) {
    const std::string expected = "first decodable picture within " + latency_text(kAccessLimit) + " of the join";
    if (l.before_join || !l.to_first_access) list.skip("flow.access", l.before_join ? "it came before the join" : "no access point after PAT and PMT yet");
    else if (*l.to_first_access > kAccessLimit) list.note("flow.access", expected, latency_text(*l.to_first_access, kAccessLimit), "seldom random access points make channel changes slow");
    else list.pass("flow.access", expected, latency_text(*l.to_first_access));
}

void check_leave(const FlowLatency& l, Checklist& list) {
    if (!l.leave_sent) return;
    const std::string expected = "last datagram within " + latency_text(l.leave_limit) + " of the leave";
    if (!l.to_first_datagram && !l.before_join) list.skip("flow.leave", "nothing arrived");
    else if (l.to_last_datagram.value_or(Duration{}) > l.leave_limit)
        list.fail("flow.leave", expected, "still arrived " + latency_text(*l.to_last_datagram, l.leave_limit) + " after the leave",
                  "the switch does not act on leaves, or another member is behind this port");
    else list.pass("flow.leave", expected, latency_text(l.to_last_datagram.value_or(Duration{})));
}

}  // namespace

Duration leave_limit(const MembershipObservation& membership, IpVersion ip) {
    constexpr Duration usual_interval = std::chrono::seconds(1), messages = std::chrono::milliseconds(500);
    int robustness = 2;
    for (const auto& q : membership.queriers)
        if (q.ip == ip && q.robustness) robustness = *q.robustness;
    const auto query = membership.group_queries.find(ip);
    if (query == membership.group_queries.end()) return usual_interval * robustness + messages;
    return query->second.max_response * query->second.robustness.value_or(robustness) + messages;
}

std::vector<FlowLatency> measure_joins(const ExpectedLineup& lineup, const std::vector<Duration>& joined,
                                       const MembershipObservation& membership, const std::set<IpAddress>& own,
                                       const std::vector<FlowObservation>& seen) {
    std::vector<FlowLatency> out;
    for (std::size_t i = 0; i < lineup.flows.size() && i < joined.size(); ++i) {
        const Expectation& e = lineup.flows[i];
        FlowLatency l;
        l.flow = e.flow;
        l.join_sent = joined[i];
        if (const auto* m = own_membership(membership, own, e.flow.group); m != nullptr && m->first) {
            l.join_sent = *m->first;
            l.report_seen = true;
        }
        const auto found = std::ranges::find(seen, destination_of(e.flow), &FlowObservation::destination);
        if (found != seen.end() && found->first) {
            l.before_join = *found->first < l.join_sent;
            if (!l.before_join) l.to_first_datagram = *found->first - l.join_sent;
            const auto access = first_access(*found, e.program_number);
            if (access && *access >= l.join_sent) l.to_first_access = *access - l.join_sent;
        }
        out.push_back(l);
    }
    return out;
}

void measure_leaves(std::vector<FlowLatency>& latencies, const Aftermath& after,
                    const MembershipObservation& membership, const std::set<IpAddress>& own) {
    for (auto& l : latencies) {
        l.leave_sent = after.left;
        l.leave_limit = leave_limit(membership, l.flow.group.address().version());
        const auto* m = own_membership(membership, own, l.flow.group);
        if (m != nullptr && m->left_at && *m->left_at >= after.left) {
            l.leave_sent = *m->left_at;
            l.leave_seen = true;
        }
        const auto last = after.last.find(destination_of(l.flow));
        if (last != after.last.end() && last->second > *l.leave_sent) l.to_last_datagram = last->second - *l.leave_sent;
    }
}

void judge_latencies(std::vector<Verdict>& verdicts, const std::vector<FlowLatency>& latencies) {
    for (std::size_t i = 0; i < verdicts.size() && i < latencies.size(); ++i) {
        Checklist list;
        check_join(latencies[i], list);
        check_access(latencies[i], list);
        check_leave(latencies[i], list);
        for (auto& c : list.take()) verdicts[i].checks.push_back(std::move(c));
    }
}

}  // namespace mastline
