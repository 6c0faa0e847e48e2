// SPDX-License-Identifier: Apache-2.0
#include "mastline/network/timer_advice.hpp"

#include <catch2/catch.hpp>

#include "mastline/network/membership_timers.hpp"
#include "mastline/network/querier_election.hpp"
#include "support/network_builder.hpp"

using namespace mastline;
using namespace std::chrono_literals;

namespace {

test::NetworkBuilder network(int displays) {
    test::NetworkBuilder b({megabits_per_second(8)});
    b.with_switch("core").with_switch("edge").with_link("core", "edge");
    b.querier("core", 0x0A000001).with_card("A1", "core", 1).with_zone("edge", displays);
    return b;
}

TimerAdvice advice(test::NetworkBuilder& b, const std::string& timer) {
    for (const auto& a : timer_advice(b.venue(), b.load()))
        if (a.timer == timer) return a;
    FAIL("no advice on " << timer);
    return {};
}

}  // namespace

TEST_CASE("times follow from the timers as in RFC 2236 and RFC 3376", "[outside]") {
    // RFC 3376 section 8: defaults 2, 125 s, 10 s, 1 s. 8.4: 2 x 125 + 10 = 260 s; 8.5: 2 x 125 + 10/2
    // = 255 s; 8.10: 2 x 1 s. RFC 2236 sections 8.4, 8.5, 8.8 and 8.9 give the same.
    const NetworkPolicy n;
    CHECK(membership_interval(n) == 260s);
    CHECK(other_querier_interval(n) == 255s);
    CHECK(leave_latency(n) == 2s);
    CHECK(takeover_gap(n) == 5s);
}

TEST_CASE("robustness is advised by the displays that would lapse in a day", "[unit]") {
    // 86400 / 125 = 691.2 queries a day; 1000 displays and 1 report in 1000 lost: 691200 x 0.001^2 =
    // 0.69 lapses a day. 2000 displays: 1.38, and with robustness 3 0.0014.
    CHECK(lapses_per_day(1000, 125s, 2) == Approx(0.6912));
    auto few = network(1000);
    CHECK(advice(few, "Robustness").advised == "2");
    auto many = network(2000);
    const auto a = advice(many, "Robustness");
    CHECK(a.planned == "2");
    CHECK(a.advised == "3");
    CHECK(a.reason.find("1.382 a day with 2, 0.001 a day with 3") != std::string::npos);
}

TEST_CASE("a lost querier is replaced, or memberships end", "[unit]") {
    auto b = network(10);
    auto a = advice(b, "Querier lost");
    CHECK(a.planned == "no other querier: after 260 s 2 switches flood every stream");
    CHECK(a.advised == "a second querier with a higher address, on another switch");
    b.at("edge").floods_without_querier = false;
    CHECK(advice(b, "Querier lost").planned ==
          "no other querier: after 260 s 1 switch floods every stream, 1 switch stops every stream");
    b.querier("edge", 0x0A000002);
    CHECK(advice(b, "Querier lost").planned == "edge takes over after 255 s");
}

TEST_CASE("a router that is lost has no successor for its displays", "[unit]") {
    auto b = network(10);
    b.venue().network.forwarding = Forwarding::routed;
    b.querier("edge", 0x0A000002);
    CHECK(advice(b, "Querier lost").planned == "each router asks the displays at it");
}

TEST_CASE("queriers follow each other by address, one without comes last", "[outside]") {
    // RFC 3376 section 6.6.2: the lowest address wins; RFC 4541 section 2.1.1: 0.0.0.0 takes no part.
    Switch none, high, low, never;
    none.querier = high.querier = low.querier = true;
    high.querier_address = IpAddress::v4(0x0A000009);
    low.querier_address = never.querier_address = IpAddress::v4(0x0A000004);
    CHECK(queriers_in_turn({&none, &high, &never, &low}) == std::vector<std::size_t>{3, 1, 0});
}

TEST_CASE("the query response is as long as the slowest switch needs", "[unit]") {
    auto b = network(2000);
    CHECK(advice(b, "Query response").advised == "10 s");
    b.at("core").reports_per_second = 50;  // 2000 reports take it 40 s
    CHECK(advice(b, "Query response").advised == "40 s");
}

TEST_CASE("intervals that are long or very short are advised against", "[unit]") {
    auto b = network(10);
    CHECK(advice(b, "Query interval").advised == "60 s");
    b.venue().network.last_member_query_interval = 200ms;
    CHECK(advice(b, "Last-member query interval").advised == "1 s");
    CHECK(advice(b, "Leave latency").planned == "0.4 s");
}
