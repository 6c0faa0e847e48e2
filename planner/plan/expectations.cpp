// SPDX-License-Identifier: Apache-2.0
#include "mastline/plan/expectations.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "mastline/venue/carriage_rate.hpp"

namespace mastline {

namespace {

BitRate scaled(BitRate rate, double factor) {
    return BitRate(std::llround(static_cast<double>(rate.bits_per_second()) * factor));
}

void fill_rate(Expectation& out, const Programme& programme, const RateWindow& window) {
    out.rate = carriage_rate(programme);
    out.rate_low = scaled(out.rate, 1 - window.share);
    out.rate_high = scaled(out.rate, 1 + window.share);
}

void fill_programme(Expectation& out, const Programme& programme) {
    out.program_number = programme.program_number;
    out.service_name = programme.service_name;
    out.provider = programme.provider;
    out.pmt_pid = programme.pmt_pid;
    out.pcr_pid = programme.pcr_pid;
    out.components = programme.components;
    out.scrambling_allowed = programme.scrambled;
}

void fill_policy(Expectation& out, const AddressingPolicy& policy) {
    out.source_specific = policy.source_specific;
    out.encapsulation = policy.encapsulation;
    out.packets_per_datagram = policy.packets_per_datagram;
    out.ttl = policy.ttl;
    out.dscp = policy.dscp;
    if (policy.vlan) out.vlan = VlanId{static_cast<std::uint16_t>(*policy.vlan)};
}

// The way of the carrier's lane to the input that receives it; null when it does not get there.
const ReachedLane* way_of(const Carrier& carrier, const PortRef& input, const SignalPlan& signal) {
    for (const auto& reach : signal.reach) {
        if (reach.input != input) continue;
        for (const auto& lane : reach.lanes)
            if (lane.lane == LaneRef{carrier.feed, carrier.lane}) return &lane;
    }
    return nullptr;
}

class Parts {
public:
    void add(std::string part) {
        if (std::find(parts_.begin(), parts_.end(), part) == parts_.end())
            parts_.push_back(std::move(part));
    }
    std::vector<std::string> take() { return std::move(parts_); }

private:
    std::vector<std::string> parts_;
};

void add_way(Parts& parts, const Carrier& carrier, const PortRef& input, const SignalPlan& signal) {
    parts.add("lane:" + carrier.feed + "/" + std::to_string(carrier.lane.value));
    parts.add("carrier:" + carrier.name);
    if (const auto* way = way_of(carrier, input, signal))
        for (const auto& part : way->parts) parts.add(part);
}

// From roof to switch.
std::vector<std::string> parts_of(const Venue& venue, const Plan& plan, const ChannelHome& home) {
    Parts parts;
    const auto& card = venue.cards[home.card];
    if (home.carrier)
        add_way(parts, venue.carriers[*home.carrier], {card.name, home.input}, plan.signal);
    else
        parts.add("input:" + venue.channels[home.channel].input);
    parts.add("card:" + card.name);
    if (!card.chassis.empty()) parts.add("chassis:" + card.chassis);
    if (!card.attached_to.empty()) parts.add("switch:" + card.attached_to);
    return parts.take();
}

}  // namespace

std::vector<Expectation> expected_flows(const Venue& venue, const Plan& plan) {
    const Programmes programmes(venue);
    std::map<FlowAddress, const CarriageAddress*> silent;
    for (const auto& carriage : plan.addressing.silent) silent.emplace(carriage.flow, &carriage);
    std::vector<Expectation> out;
    for (const auto& carriage : plan.addressing.carriages) {
        const auto& home = plan.assignment.homes[carriage.home];
        const auto& channel = venue.channels[home.channel];
        const auto* programme = programmes.of(channel);
        if (programme == nullptr) continue;  // check_lineup() has reported it
        Expectation flow;
        flow.channel = to_text(channel.number);
        flow.copy = home.copy;
        flow.name = channel.name;
        flow.flow = carriage.flow;
        flow.source = carriage.source;
        if (const auto standby = silent.find(carriage.flow); standby != silent.end() && standby->second->source != flow.source)
            flow.standby_source = standby->second->source;
        fill_policy(flow, venue.addressing);
        fill_rate(flow, *programme, venue.rate_window);
        fill_programme(flow, *programme);
        if (home.carrier)
            flow.transport_stream_id = venue.carriers[*home.carrier].transport_stream_id;
        flow.parts = parts_of(venue, plan, home);
        out.push_back(std::move(flow));
    }
    return out;
}

}  // namespace mastline
