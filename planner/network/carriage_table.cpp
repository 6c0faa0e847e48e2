// SPDX-License-Identifier: Apache-2.0
#include "planner/network/carriage_table.hpp"

#include <unordered_map>

#include "mastline/venue/carriage_rate.hpp"

namespace mastline {

std::vector<NetworkCarriage> network_carriages(const Venue& venue, const Assignment& assignment,
                                               const Addressing& addressing) {
    std::unordered_map<std::string, SwitchIndex> switches;
    for (SwitchIndex i = 0; i < venue.switches.size(); ++i)
        switches.emplace(venue.switches[i].name, i);
    std::unordered_map<std::size_t, std::size_t> standby;  // card, by channel
    for (const auto& silent : addressing.silent) {
        const auto& home = assignment.homes[silent.home];
        standby.emplace(home.channel, home.card);
    }
    const Programmes programmes(venue);
    const auto& policy = venue.addressing;
    std::vector<NetworkCarriage> out;
    for (const auto& carriage : addressing.carriages) {
        const auto& home = assignment.homes[carriage.home];
        const auto& channel = venue.channels[home.channel];
        const auto* programme = programmes.of(channel);
        const BitRate transport = programme != nullptr ? carriage_rate(*programme) : BitRate(0);
        WireFormat format{policy.encapsulation, policy.packets_per_datagram,
                          carriage.flow.group.address().version()};
        NetworkCarriage c;
        const BitRate mean = programme != nullptr ? programme->rate : BitRate(0);
        const auto* fec = fec_of(channel, policy);
        c.frames = frames_per_second(transport, format, fec);
        if (fec != nullptr) c.streams = fec->row_packets ? 3 : 2;
        c.plain = rate_with_fec(channel, transport, format, policy);
        c.mean_plain = rate_with_fec(channel, mean, format, policy);
        format.tagged = policy.vlan.has_value();
        c.tagged = rate_with_fec(channel, transport, format, policy);
        c.mean_tagged = rate_with_fec(channel, mean, format, policy);
        const auto at = switches.find(venue.cards[home.card].attached_to);
        if (at != switches.end()) c.enters = at->second;
        c.card = home.card;
        c.channel = home.channel;
        c.copy = home.copy;
        c.is_protected = channel.is_protected;
        if (const auto waiting = standby.find(home.channel); waiting != standby.end()) c.standby = waiting->second;
        out.push_back(c);
    }
    return out;
}

}  // namespace mastline
