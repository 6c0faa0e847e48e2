// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "mastline/plan/expectations.hpp"
#include "support/small_plan.hpp"

using namespace mastline;
using test::small_plan;
using Parts = std::vector<std::string>;

TEST_CASE("a flow is expected with the programme of its service", "[unit]") {
    const auto small = small_plan();
    const auto flows = expected_flows(small.venue, small.plan);
    REQUIRE(flows.size() == 2);
    const auto& flow = flows[0];
    CHECK(flow.channel == "5.1");
    CHECK(flow.name == "News");
    CHECK(to_text(flow.flow) == "239.192.5.1:5004");
    CHECK(to_text(*flow.source) == "10.20.0.11");
    CHECK(flow.program_number == ProgramNumber{501});
    CHECK(flow.service_name == "News");
    CHECK(flow.provider == "Quarry Broadcasting");
    CHECK(flow.pmt_pid == Pid(256));
    CHECK(flow.pcr_pid == Pid(257));
    CHECK(flow.components.size() == 2);
    CHECK_FALSE(flow.scrambling_allowed);
}

TEST_CASE("a varying programme is expected at its peak rate, a steady one at its own", "[unit]") {
    const auto small = small_plan();
    const auto flows = expected_flows(small.venue, small.plan);
    REQUIRE(flows.size() == 2);
    CHECK(flows[0].rate == BitRate(8'000'000));
    CHECK(flows[1].rate == BitRate(6'000'000));
}

TEST_CASE("a measured rate may be 5 percent off unless the venue says otherwise", "[unit]") {
    auto small = small_plan();
    auto flow = expected_flows(small.venue, small.plan).at(0);
    CHECK(flow.rate_low == BitRate(7'600'000));
    CHECK(flow.rate_high == BitRate(8'400'000));
    small.venue.rate_window.share = 0.125;
    flow = expected_flows(small.venue, small.plan).at(0);
    CHECK(flow.rate_low == BitRate(7'000'000));
    CHECK(flow.rate_high == BitRate(9'000'000));
}

TEST_CASE("a received flow rests on lane, carrier, devices, card, chassis and switch", "[unit]") {
    const auto small = small_plan();
    CHECK(expected_flows(small.venue, small.plan).at(0).parts ==
          Parts{"lane:west/1", "carrier:w-1200", "run:R1", "device:ms-1", "run:R2", "card:A1",
                "chassis:rack", "switch:core"});
}

TEST_CASE("a flow made in the house rests on its input and encoder card", "[unit]") {
    const auto small = small_plan();
    CHECK(expected_flows(small.venue, small.plan).at(1).parts == Parts{"input:stage", "card:E1"});
}

TEST_CASE("a received flow keeps its carrier's transport_stream_id", "[unit]") {
    const auto small = small_plan();
    const auto flows = expected_flows(small.venue, small.plan);
    CHECK(flows.at(0).transport_stream_id == 1007);
    CHECK(flows.at(1).transport_stream_id == 1);
}

TEST_CASE("the addressing policy sets how every flow is sent", "[unit]") {
    auto small = small_plan();
    auto& policy = small.venue.addressing;
    policy.encapsulation = Encapsulation::rtp;
    policy.packets_per_datagram = 5;
    policy.ttl = 3;
    policy.dscp = 34;
    policy.vlan = 120;
    policy.source_specific = true;
    for (const auto& flow : expected_flows(small.venue, small.plan)) {
        CHECK(flow.encapsulation == Encapsulation::rtp);
        CHECK(flow.packets_per_datagram == 5);
        CHECK(flow.ttl == 3);
        CHECK(flow.dscp == 34);
        CHECK(flow.vlan == VlanId{120});
        CHECK(flow.source_specific);
    }
}

TEST_CASE("a channel without an address is not expected", "[unit]") {
    auto small = small_plan();
    small.plan.addressing.carriages.erase(small.plan.addressing.carriages.begin());
    const auto flows = expected_flows(small.venue, small.plan);
    REQUIRE(flows.size() == 1);
    CHECK(flows[0].channel == "7");
}

TEST_CASE("a second carriage is expected as the second copy", "[unit]") {
    auto small = small_plan();
    test::add_carriage(small, {.channel = 0, .copy = 2, .card = 0, .carrier = 0, .input = "in1"},
                       "239.193.5.1");
    const auto flows = expected_flows(small.venue, small.plan);
    REQUIRE(flows.size() == 3);
    CHECK(flows[2].channel == "5.1");
    CHECK(flows[2].copy == 2);
}
