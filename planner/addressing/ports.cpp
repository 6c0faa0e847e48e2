// SPDX-License-Identifier: Apache-2.0
#include "planner/addressing/ports.hpp"

#include <algorithm>
#include <map>
#include <string>

#include "mastline/venue/carriage_rate.hpp"

namespace mastline {

namespace {

// Ports above its own that a stream needs: RTCP on + 1, FEC by columns on + 2, by rows on + 4.
int room_above(const Channel& channel, const AddressingPolicy& policy) {
    if (const auto* fec = fec_of(channel, policy)) return fec->row_packets ? 4 : 2;
    return policy.encapsulation == Encapsulation::rtp ? 1 : 0;
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
    if (port + room_above(channel, policy) > 65535)
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

// Of each port the channel that needs most above it.
using ByPort = std::map<int, const Channel*>;

void check_room(const Channel& channel, const ByPort& by_port, const AddressingPolicy& policy, PortFaults& faults) {
    constexpr int kMostRoom = 4;
    const int port = wanted_port(channel, policy);
    for (int lower = port - 1; lower >= port - kMostRoom; --lower) {
        const auto other = by_port.find(lower);
        if (other == by_port.end()) continue;
        const int room = room_above(*other->second, policy);
        if (port - lower > room) continue;
        faults.add(Severity::warning, "addressing.port-room", channel,
                   "port " + std::to_string(port) + " lies among the " + std::to_string(room) +
                       (room == 1 ? " port" : " ports") + " above " + std::to_string(lower) + " that channel " +
                       to_text(other->second->number) + " needs for " + (room == 1 ? "RTCP" : "RTCP and FEC"),
                   "make port_step " + std::to_string(room == 1 ? 2 : room + 2) + " or more", channel.place);
        return;
    }
}

}  // namespace

UdpPort port_of(const Channel& channel, const AddressingPolicy& policy) {
    return UdpPort{static_cast<std::uint16_t>(std::min(wanted_port(channel, policy), 65535))};
}

void check_ports(const Venue& venue, const std::vector<std::size_t>& channels, Findings& findings) {
    PortFaults faults(findings);
    ByPort by_port;
    for (const auto i : channels) {
        const auto& channel = venue.channels[i];
        check_port(channel, venue.addressing, faults);
        const auto& [port, needs_most] = *by_port.emplace(wanted_port(channel, venue.addressing), &channel).first;
        if (room_above(channel, venue.addressing) > room_above(*needs_most, venue.addressing)) by_port[port] = &channel;
    }
    for (const auto i : channels) check_room(venue.channels[i], by_port, venue.addressing, faults);
}

}  // namespace mastline
