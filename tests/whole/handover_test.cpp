// SPDX-License-Identifier: Apache-2.0
// What the planner writes is what probe and rehearsal read.
#include <catch2/catch.hpp>

#include "mastline/expectation/read_plan_file.hpp"
#include "mastline/plan/expectations.hpp"
#include "mastline/plan/write_plan.hpp"
#include "support/dice.hpp"
#include "support/program.hpp"
#include "support/small_plan.hpp"
#include "support/temp_folder.hpp"

using namespace mastline;

namespace {

void check_same(const Expectation& a, const Expectation& b) {
    INFO("channel " << a.channel);
    CHECK(a.channel == b.channel);
    CHECK(a.copy == b.copy);
    CHECK(a.name == b.name);
    CHECK(a.flow == b.flow);
    CHECK(a.source == b.source);
    CHECK(a.source_specific == b.source_specific);
    CHECK(a.encapsulation == b.encapsulation);
    CHECK(a.packets_per_datagram == b.packets_per_datagram);
    CHECK(a.rate == b.rate);
    CHECK(a.rate_low == b.rate_low);
    CHECK(a.rate_high == b.rate_high);
    CHECK(a.ttl == b.ttl);
    CHECK(a.dscp == b.dscp);
    CHECK(a.vlan == b.vlan);
    CHECK(a.transport_stream_id == b.transport_stream_id);
    CHECK(a.program_number == b.program_number);
    CHECK(a.service_name == b.service_name);
    CHECK(a.provider == b.provider);
    CHECK(a.pmt_pid == b.pmt_pid);
    CHECK(a.pcr_pid == b.pcr_pid);
    CHECK(a.scrambling_allowed == b.scrambling_allowed);
    CHECK(a.parts == b.parts);
    REQUIRE(a.components.size() == b.components.size());
    for (std::size_t i = 0; i < a.components.size(); ++i) {
        CHECK(a.components[i].pid == b.components[i].pid);
        CHECK(a.components[i].kind == b.components[i].kind);
        CHECK(a.components[i].language == b.components[i].language);
    }
}

void check_handed_over(const test::SmallPlan& small) {
    const auto text = write_plan(small.venue, small.plan);
    Findings findings;
    const auto read = read_plan_file(text, "plan.toml", findings);
    for (const auto& finding : findings) INFO(to_line(finding));
    REQUIRE(read);
    CHECK(findings.empty());
    CHECK(read->venue == small.plan.lineup.venue);
    CHECK(read->revision == small.plan.lineup.revision);
    REQUIRE(read->flows.size() == small.plan.lineup.flows.size());
    for (std::size_t i = 0; i < read->flows.size(); ++i)
        check_same(read->flows[i], small.plan.lineup.flows[i]);
}

test::SmallPlan planned() {
    auto small = test::small_plan();
    small.plan.lineup.flows = expected_flows(small.venue, small.plan);
    small.plan.lineup.revision = revision_of(small.venue, small.plan);
    return small;
}

}  // namespace

TEST_CASE("the probe reads from the plan file what the planner expects", "[unit]") {
    check_handed_over(planned());
}

TEST_CASE("every optional value of a flow is handed over", "[unit]") {
    auto small = planned();
    auto& flow = small.plan.lineup.flows[0];
    flow.copy = 2;
    flow.source.reset();
    flow.encapsulation = Encapsulation::rtp;
    flow.packets_per_datagram = 1;
    flow.scrambling_allowed = true;
    flow.provider.clear();
    flow.parts.clear();
    flow.flow.group = *parse_group("ff35::8000:101");
    flow.service_name = "Über \"Stage\" \\ #1\t\u202e";
    small.plan.lineup.flows[1].source_specific = true;
    check_handed_over(small);
}

TEST_CASE("flows with any values are handed over bit for bit", "[property]") {
    test::Dice dice(20);
    for (int round = 0; round < 200; ++round) {
        auto small = planned();
        auto& flow = small.plan.lineup.flows[0];
        flow.rate = BitRate(1 + static_cast<std::int64_t>(dice.below(1'000'000'000)));
        flow.rate_low = BitRate(static_cast<std::int64_t>(dice.below(1'000'000'000)));
        flow.rate_high = BitRate(static_cast<std::int64_t>(dice.below(2'000'000'000)));
        flow.flow.port = {static_cast<std::uint16_t>(1 + dice.below(65535))};
        flow.ttl = 1 + static_cast<int>(dice.below(255));
        flow.dscp = static_cast<int>(dice.below(64));
        if (dice.one_in(2)) flow.vlan = VlanId{static_cast<std::uint16_t>(1 + dice.below(4094))};
        flow.transport_stream_id = static_cast<std::uint16_t>(dice.below(65536));
        flow.program_number = {static_cast<std::uint16_t>(1 + dice.below(65535))};
        flow.pcr_pid = Pid(static_cast<std::uint16_t>(dice.below(0x1FFF)));
        check_handed_over(small);
    }
}

TEST_CASE("the plan file of the real program is read without a finding", "[unit]") {
    test::TempFolder folder;
    REQUIRE(test::planner("new " + folder.file("v")).status == 0);
    REQUIRE(test::planner("build " + folder.file("v") + " --out " + folder.file("out")).status == 0);
    Findings findings;
    const auto lineup =
        read_plan_file(test::read_text(folder.file("out/plan.toml")), "plan.toml", findings);
    REQUIRE(lineup);
    CHECK(findings.empty());
    CHECK(lineup->venue == "Example Hotel");
    REQUIRE(lineup->flows.size() == 4);
    CHECK(lineup->flows[1].channel == "101");
    CHECK(to_text(lineup->flows[1].flow) == "239.192.1.1:5004");
    CHECK(lineup->flows[1].service_name == "Morning One");
    CHECK(lineup->flows[1].rate == BitRate(8'000'000));
}
