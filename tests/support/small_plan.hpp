// SPDX-License-Identifier: Apache-2.0
// One satellite channel and one from the house, planned by hand.
#pragma once

#include "mastline/plan/plan.hpp"

namespace mastline::test {

struct SmallPlan {
    Venue venue;
    Plan plan;
};

inline Programme programme(std::uint16_t number, const std::string& name) {
    Programme out;
    out.program_number = {number};
    out.service_name = name;
    out.provider = "Quarry Broadcasting";
    out.pmt_pid = Pid(256);
    out.pcr_pid = Pid(257);
    out.components = {{Pid(257), "h264", ""}, {Pid(258), "aac", "eng"}};
    out.rate = BitRate(6'000'000);
    return out;
}

inline Channel channel(std::uint32_t major, std::uint32_t minor, const std::string& name) {
    Channel out;
    out.number = {major, minor};
    out.name = name;
    return out;
}

inline void add_carriage(SmallPlan& out, const ChannelHome& home, const std::string& group) {
    CarriageAddress carriage;
    carriage.home = out.plan.assignment.homes.size();
    carriage.flow = {*parse_group(group), UdpPort{5004}};
    carriage.source = *parse_ip_address("10.20.0.11");
    out.plan.assignment.homes.push_back(home);
    out.plan.addressing.carriages.push_back(carriage);
}

// Channel 5.1 "News" from carrier w-1200 on west/1 by card A1; channel 7 "Stage" by encoder E1.
inline SmallPlan small_plan() {
    SmallPlan out;
    auto& v = out.venue;
    v.name = "Quarry Hall";
    v.carriers.resize(1);
    v.carriers[0].name = "w-1200";
    v.carriers[0].feed = "west";
    v.carriers[0].transport_stream_id = 1007;
    v.services.resize(1);
    v.services[0].name = "news";
    v.services[0].carrier = "w-1200";
    v.services[0].programme = programme(501, "News");
    v.services[0].programme.peak = BitRate(8'000'000);
    v.inputs.resize(1);
    v.inputs[0].name = "stage";
    v.inputs[0].programme = programme(900, "Stage");
    v.channels = {channel(5, 1, "News"), channel(7, 0, "Stage")};
    v.channels[0].service = "news";
    v.channels[0].genre = "news";
    v.channels[1].input = "stage";
    v.cards.resize(2);
    v.cards[0].name = "A1";
    v.cards[0].chassis = "rack";
    v.cards[0].attached_to = "core";
    v.cards[1].name = "E1";
    ReachedLane way;
    way.lane = {"west", LaneNumber{1}};
    way.margin = Gain::db(3.25);
    way.parts = {"lane:west/1", "run:R1", "device:ms-1", "run:R2"};
    out.plan.signal.reach = {{{"A1", "in1"}, {way}}};
    out.plan.lineup.venue = v.name;
    add_carriage(out, {.channel = 0, .card = 0, .carrier = 0, .input = "in1"}, "239.192.5.1");
    add_carriage(out, {.channel = 1, .card = 1, .encoder_input = 1, .input = "in1"}, "239.192.0.7");
    return out;
}

}  // namespace mastline::test
