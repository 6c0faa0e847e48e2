// SPDX-License-Identifier: Apache-2.0
#include <algorithm>

#include "probe/verdict/checklist.hpp"

namespace mastline {

namespace {

std::string encapsulation_text(Encapsulation e) { return e == Encapsulation::rtp ? "RTP" : "UDP"; }

std::string source_list(const std::vector<SourceObservation>& sources) {
    std::string out;
    for (const auto& s : sources)
        out += (out.empty() ? "" : ", ") + to_text(s.address) + " (" +
               counted(s.datagrams, "datagram*") + ")";
    return out;
}

constexpr std::string_view kOwnDrops = "this machine dropped datagrams";

bool own_drops_touch(const Case& c) { return c.seen.own_drops > 0 || c.seen.own_drops_possible; }

void check_arrival(const Case& c, Checklist& list) {
    const std::string wanted = to_text(c.expected.rate) + " to " + to_text(c.expected.flow);
    list.pass("flow.arrival", wanted, counted(c.seen.datagrams, "datagram*"));
    const auto late = c.watch.start && c.seen.first ? *c.seen.first - *c.watch.start : Duration{};
    const auto since = c.watch.end && c.seen.last ? *c.watch.end - *c.seen.last : Duration{};
    const std::string steady = "no silence above " + to_text(kSilenceLimit);
    const auto longest = c.seen.inter_arrival ? c.seen.inter_arrival->max : Duration{};
    if (own_drops_touch(c) && std::max(since, longest) > kSilenceLimit) list.skip("flow.steady", std::string(kOwnDrops));
    else if (since > kSilenceLimit)
        list.fail("flow.steady", steady, "stopped after " + moment(c.watch, *c.seen.last),
                  "silent for " + time_text(since, kSilenceLimit, TimeUnit::seconds, 3) + " to the end of the watch");
    else if (longest > kSilenceLimit && c.seen.silent_from)
        list.fail("flow.steady", steady,
                  "silent for " + time_text(longest, kSilenceLimit, TimeUnit::seconds, 3),
                  "from " + moment(c.watch, *c.seen.silent_from));
    else if (late > kFirstArrivalLimit)
        list.note("flow.steady", steady, "first datagram after " + moment(c.watch, *c.seen.first));
    else list.pass("flow.steady", steady, "longest silence " + time_text(longest, kSilenceLimit, TimeUnit::milliseconds, 1));
}

void check_source(const Case& c, Checklist& list) {
    const auto& wanted = c.expected.source;
    const std::string expected = wanted ? to_text(*wanted) + " alone" : "one source";
    const std::string found = source_list(c.seen.sources);
    std::vector<IpAddress> addresses;
    for (const auto& s : c.seen.sources)
        if (std::ranges::find(addresses, s.address) == addresses.end()) addresses.push_back(s.address);
    const bool planned_there = !wanted || std::ranges::find(addresses, *wanted) != addresses.end();
    if (sent_by_standby(c.expected, c.seen))
        list.note("flow.source", expected, "sent by the standby " + to_text(*c.expected.standby_source), "its first card is silent: nothing is left for its own loss");
    else if (!planned_there) list.fail("flow.source", expected, "sent by " + found);
    else if (addresses.size() > 1)
        list.fail("flow.source", expected, counted(addresses.size(), "source*") + " on the group", found);
    else if (c.seen.sources.size() > 1)
        list.fail("flow.source", expected,
                  counted(c.seen.sources.size(), "sender*") + " with the same address", found);
    else list.pass("flow.source", expected, to_text(addresses.front()));
}

void check_encapsulation(const Case& c, Checklist& list) {
    const std::string expected = encapsulation_text(c.expected.encapsulation);
    const auto found = c.seen.encapsulation();
    if (!found && is_cut(c)) list.skip("flow.encapsulation", kCut);
    else if (!found)
        list.fail("flow.encapsulation", expected, "no transport packets in the datagrams",
                  counted(c.seen.other_datagrams, "datagram*") + " of another kind");
    else if (*found != c.expected.encapsulation)
        list.fail("flow.encapsulation", expected, encapsulation_text(*found));
    else list.pass("flow.encapsulation", expected, encapsulation_text(*found));
}

void check_packing(const Case& c, Checklist& list) {
    const auto wanted = static_cast<std::size_t>(c.expected.packets_per_datagram);
    std::uint64_t all = 0;
    std::string found;
    for (std::size_t n = 0; n < c.seen.packing.size(); ++n) {
        all += c.seen.packing[n];
        if (c.seen.packing[n] > 0 && n != wanted)
            found += (found.empty() ? "" : ", ") + counted(c.seen.packing[n], "datagram*") + " with " +
                     (n == 0 ? "another number, or cut elsewhere than between packets" : std::to_string(n));
    }
    if (c.seen.packet_size != kTsPacketSize)
        found += (found.empty() ? "" : ", ") + std::string("packets of ") + std::to_string(c.seen.packet_size) + " bytes";
    const std::string expected = std::to_string(wanted) + " transport packets in each";
    if (all == 0) list.skip("flow.packing", "there are no transport packets");
    else if (found.empty()) list.pass("flow.packing", expected, std::to_string(wanted));
    else list.note("flow.packing", expected, found);
}

// The network lowers it at each router; a higher one was sent higher than planned.
void check_ttl(const Case& c, Checklist& list) {
    const std::string expected = std::to_string(c.expected.ttl) + " as sent";
    if (!c.seen.ttl) {
        list.skip("flow.ttl", "this way of listening does not tell it");
        return;
    }
    const auto [least, greatest] = *c.seen.ttl;
    const std::string found = least == greatest
                                  ? std::to_string(least)
                                  : std::to_string(least) + " to " + std::to_string(greatest);
    if (greatest > c.expected.ttl) list.fail("flow.ttl", expected, found);
    else if (least < c.expected.ttl)
        list.note("flow.ttl", expected, found, "each router on the way takes one");
    else list.pass("flow.ttl", expected, found);
}

void check_dscp(const Case& c, Checklist& list) {
    const std::string expected = std::to_string(c.expected.dscp);
    if (!c.seen.dscp) {
        list.skip("flow.dscp", "this way of listening does not tell it");
        return;
    }
    const auto [least, greatest] = *c.seen.dscp;
    if (least == c.expected.dscp && greatest == c.expected.dscp)
        list.pass("flow.dscp", expected, std::to_string(least));
    else
        list.fail("flow.dscp", expected,
                  least == greatest ? std::to_string(least)
                                    : std::to_string(least) + " to " + std::to_string(greatest));
}

std::string vlan_list(const std::vector<VlanObservation>& vlans) {
    std::string out;
    for (const auto& v : vlans)
        out += (out.empty() ? "" : "; ") + to_text(v.tags) + ": " + counted(v.datagrams, "datagram*");
    return out;
}

// IEEE 802.1Q. The innermost tag is the network's own; 802.1ad tags around it are a carrier's. A frame
// without a tag may have had one: access ports and interfaces take it off.
void check_vlan(const Case& c, Checklist& list) {
    std::uint64_t inside = 0, elsewhere = 0;
    for (const auto& v : c.seen.vlans) {
        const VlanId id = v.tags.of_packet();
        if (id == VlanId{}) continue;
        (c.expected.vlan == id ? inside : elsewhere) += v.datagrams;
    }
    if (!c.expected.vlan) {
        if (elsewhere > 0) list.note("flow.vlan", "the plan names no VLAN", vlan_list(c.seen.vlans));
        return;
    }
    const std::string expected = "VLAN " + std::to_string(c.expected.vlan->number);
    if (elsewhere > 0) list.fail("flow.vlan", expected, vlan_list(c.seen.vlans));
    else if (inside > 0) list.pass("flow.vlan", expected, vlan_list(c.seen.vlans));
    else if (c.seen.vlans.empty()) list.skip("flow.vlan", "this way of listening does not tell it");
    else list.skip("flow.vlan", "the frames came without a tag: an access port or the interface takes it off");
}

// 0 when there is none yet.
BitRate measured_rate(const FlowObservation& seen) {
    if (!seen.stream) return {};
    return seen.stream->arrival_rate.value_or(seen.stream->rate.value_or(BitRate()));
}

// A measured rate to the nearest kbit/s, unless that would put it on the other side of a limit.
std::string measured_text(BitRate rate, BitRate low, BitRate high) {
    const BitRate rounded((rate.bits_per_second() + 500) / 1000 * 1000);
    const auto inside = [&](BitRate r) { return low <= r && r <= high; };
    return to_text(inside(rounded) == inside(rate) ? rounded : rate);
}

void check_rate(const Case& c, Checklist& list) {
    const auto low = c.expected.rate_low, high = c.expected.rate_high;
    const std::string expected = to_text(low) + " to " + to_text(high);
    const BitRate rate = measured_rate(c.seen);
    if (high <= BitRate()) list.skip("flow.rate", "the plan states no window");
    else if (own_drops_touch(c)) list.skip("flow.rate", std::string(kOwnDrops));
    else if (rate == BitRate() || (c.watch.start && c.watch.length() < std::chrono::seconds(1)))
        list.skip("flow.rate", "watched for less than a second");
    else if (rate < low || rate > high)
        list.fail("flow.rate", expected, measured_text(rate, low, high),
                  c.seen.repeated_datagrams > 0 ? "with the repeated datagrams" : "");
    else list.pass("flow.rate", expected, measured_text(rate, low, high));
}

// What a display that uses the FEC beside the flow would have made good.
std::string recovery(const FlowObservation& seen) {
    if (!seen.repair || seen.repair->lost == 0) return {};
    const auto& r = *seen.repair;
    return "; FEC would have recovered " + std::to_string(r.by_both) + " of " + std::to_string(r.lost) +
           (r.untold > 0 ? ", " + std::to_string(r.untold) + " cannot be told" : "");
}

// SMPTE ST 2022-1; the plan need not ask for it.
void check_repair(const Case& c, Checklist& list) {
    if (!c.seen.repair) return;
    const auto& r = *c.seen.repair;
    const std::string expected = "FEC that fits the media";
    if (r.contradicting > 0)
        list.fail("flow.fec", expected, counted(r.contradicting, "repair packet*") + " contradict the media",
                  "of " + std::to_string(r.compared) + " all of whose media arrived; a display would put damage in place of a loss");
    else if (r.compared == 0) list.skip("flow.fec", "no repair packet with all its media was seen");
    else list.pass("flow.fec", expected, repair_shape(r));
}

void check_loss(const Case& c, Checklist& list) {
    if (!c.seen.rtp) {
        const std::string reason = "bare UDP carries no sequence numbers; see stream.continuity";
        list.skip("flow.loss", reason);
        list.skip("flow.order", reason);
        list.count("flow.repeats", c.seen.repeated_datagrams, "repeated datagram*", kWhyRepeats);
        return;
    }
    const auto& rtp = *c.seen.rtp;
    list.count("flow.loss", rtp.lost, "lost datagram*",
               "in " + counted(rtp.gaps, "gap*") + ", the largest of " + std::to_string(rtp.largest_gap) + recovery(c.seen));
    list.count("flow.order", rtp.reordered, "datagram* out of order", {});
    list.count("flow.repeats", rtp.duplicates, "repeated datagram*", kWhyRepeats);
}

}  // namespace

void check_flow(const Case& c, Checklist& list) {
    check_arrival(c, list);
    check_source(c, list);
    check_encapsulation(c, list);
    check_packing(c, list);
    check_ttl(c, list);
    check_dscp(c, list);
    check_vlan(c, list);
    check_rate(c, list);
    check_loss(c, list);
    check_repair(c, list);
    if (is_cut(c))
        list.note("flow.own-drops", "none", counted(c.seen.truncated_datagrams, "datagram*") + " kept in part by the capture",
                  "a loss of our own; the network delivered them whole");
    if (c.seen.own_drops > 0)
        list.note("flow.own-drops", "none",
                  counted(c.seen.own_drops, "datagram*") + " dropped by this machine",
                  "a loss of our own; the network delivered them");
    else if (c.seen.own_drops_possible)
        list.note("flow.own-drops", "none", "this machine dropped datagrams of flows that it cannot name",
                  "a loss of our own; the network delivered them");
}

}  // namespace mastline
