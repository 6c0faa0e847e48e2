// SPDX-License-Identifier: Apache-2.0
#include "planner/addressing/ports.hpp"

#include <algorithm>
#include <map>
#include <string>

namespace mastline {

namespace {

// Ports above its own that a stream needs: RTCP on + 1, FEC on + 2 and + 4.
int room_above(const AddressingPolicy& policy) {
    return policy.fec ? 4 : policy.encapsulation == Encapsulation::rtp ? 1 : 0;
}

int wanted_port(const Channel& channel, const AddressingPolicy& policy) {
    if (channel.port) return channel.port->number;
    const std::uint64_t step = static_cast<std::uint64_t>(policy.port_step) * channel.number.major;
    return static_cast<int>(std::min<std::uint64_t>(policy.port.number + step, 1'000'000));
}

// One finding for all channels that share a fault.
class PortFaults {
public:
    explicit PortFaults(Findings& findings) : findings_(findings) {}
    void add(Severity severity, const std::string& id, const Channel& channel, std::string what,
             std::string cure, const Place& place) {
        const auto [at, is_new] = at_.emplace(id, findings_.size());
        if (is_new)
            findings_.push_back({severity, id, "channel " + to_text(channel.number),
                                 std::move(what), {}, std::move(cure), place});
        ++count_[id];
        if (count_[id] > 1)
            findings_[at->second].amount = std::to_string(count_[id]) + " channels";
    }

private:
    Findings& findings_;
    std::map<std::string, std::size_t> at_;
    std::map<std::string, int> count_;
};

void check_port(const Channel& channel, const AddressingPolicy& policy, PortFaults& faults) {
    const int port = wanted_port(channel, policy);
    const Place& place = channel.port ? channel.place : policy.place;
    const std::string shown = "port " + std::to_string(port);
    if (port + room_above(policy) > 65535)
        faults.add(Severity::error, "addressing.port-too-high", channel,
                   shown + " leaves no room below 65536 for the ports it needs",
                   "lower port or port_step", place);
    else if (port < 1024)
        faults.add(Severity::warning, "addressing.port-privileged", channel,
                   shown + " is a system port (below 1024, RFC 6335)", "take 5004 or higher", place);
    else if (port >= policy.dynamic_first.number && port <= policy.dynamic_last.number)
        faults.add(Severity::warning, "addressing.port-dynamic", channel,
                   shown + " is one that hosts take at will (" +
                       std::to_string(policy.dynamic_first.number) + " to " +
                       std::to_string(policy.dynamic_last.number) + ", RFC 6335)",
                   "take a port below " + std::to_string(policy.dynamic_first.number), place);
    if (policy.encapsulation == Encapsulation::rtp && port % 2 != 0)
        faults.add(Severity::warning, "addressing.port-odd", channel,
                   shown + " is odd; RTP takes even ports and RTCP the next (RFC 3550 section 11)",
                   "make port and port_step even", place);
}

}  // namespace

UdpPort port_of(const Channel& channel, const AddressingPolicy& policy) {
    return UdpPort{static_cast<std::uint16_t>(std::min(wanted_port(channel, policy), 65535))};
}

void check_ports(const Venue& venue, const std::vector<std::size_t>& channels, Findings& findings) {
    PortFaults faults(findings);
    std::vector<std::pair<int, const Channel*>> by_port;
    for (const auto i : channels) {
        check_port(venue.channels[i], venue.addressing, faults);
        by_port.emplace_back(wanted_port(venue.channels[i], venue.addressing), &venue.channels[i]);
    }
    std::sort(by_port.begin(), by_port.end(), [](const auto& a, const auto& b) {
        return std::tie(a.first, a.second->number) < std::tie(b.first, b.second->number);
    });
    const int room = room_above(venue.addressing);
    for (std::size_t i = 1; i < by_port.size(); ++i) {
        const int gap = by_port[i].first - by_port[i - 1].first;
        if (gap == 0 || gap > room) continue;
        faults.add(Severity::warning, "addressing.port-room", *by_port[i].second,
                   "port " + std::to_string(by_port[i].first) + " lies among the " +
                       std::to_string(room) + " ports above " +
                       std::to_string(by_port[i - 1].first) + " that channel " +
                       to_text(by_port[i - 1].second->number) + " needs for RTCP and FEC",
                   "make port_step " + std::to_string(room == 1 ? 2 : room + 2) + " or more",
                   by_port[i].second->place);
    }
}

}  // namespace mastline
