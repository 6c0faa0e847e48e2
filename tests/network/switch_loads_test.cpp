// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "mastline/network/membership_timers.hpp"
#include "support/network_builder.hpp"

using namespace mastline;
using test::ids;
using test::NetworkBuilder;

namespace {

NetworkBuilder site() {
    NetworkBuilder b(std::vector<BitRate>(50, megabits_per_second(4)));
    b.with_switch("core", 4096).with_switch("east").with_switch("west");
    b.with_link("core", "east", 10).with_link("core", "west", 10).querier("core", 0x0A000001);
    b.with_card("A1", "core", 50).with_zone("east", 20, {}, {"150"}).with_zone("west", 100);
    return b;
}

const SwitchLoad& of(const NetworkLoad& load, const std::string& name) {
    for (const auto& s : load.switches)
        if (s.name == name) return s;
    throw std::logic_error("no switch " + name);
}

}  // namespace

TEST_CASE("a switch keeps the groups of the displays whose reports reach it", "[unit]") {
    auto b = site();
    const auto load = b.load();
    CHECK(of(load, "east").groups == 21);   // 20 displays and a recorder
    CHECK(of(load, "west").groups == 50);   // never more than the lineup
    CHECK(of(load, "core").groups == 50);
    CHECK(of(load, "core").joins_on_a_port == 50);
    CHECK(of(load, "east").joins_on_a_port == 1);
    // 121 answers to a general query spread over 10 s; RFC 3376 section 8.3.
    CHECK(of(load, "core").reports_after_query == Approx(12.1));
    // All join at once: each repeats its report (robustness 2) within 1 s; RFC 3376 section 8.11.
    CHECK(of(load, "core").reports_after_power_cut == Approx(242));
    // All report at once (RFC 2236 section 3), and a tenth of the repeats of 10 s (section 8.10) follows at once.
    b.venue().network.igmp_version = 2;
    CHECK(of(b.load(), "core").reports_after_power_cut == Approx(121 + 12.1));
}

TEST_CASE("nobody joins on a port towards the querier, though every group goes there", "[outside]") {
    // RFC 4541 section 2.1.1, rule 1: reports go to router ports only, so none comes in by one.
    NetworkBuilder b(std::vector<BitRate>(30, megabits_per_second(4)));
    b.with_switch("core", 4096).with_switch("head-end").with_switch("east").querier("core", 0x0A000001);
    b.with_link("core", "head-end", 10).with_link("core", "east", 10);
    b.with_card("A1", "head-end", 30).with_zone("east", 4);
    const auto load = b.load();
    CHECK(of(load, "head-end").joins_on_a_port == 0);
    CHECK(of(load, "head-end").queue_frames == 30);
    CHECK(of(load, "core").joins_on_a_port == 4);
    CHECK(of(load, "core").queue_frames == 4);
}

TEST_CASE("reports go to the querier and to every router, whichever side they are on", "[outside]") {
    // RFC 4541 section 2.1.1, rule 1. The querier is at the core, a router at the west, all streams enter at the east.
    NetworkBuilder b(std::vector<BitRate>(30, megabits_per_second(4)));
    b.with_switch("core", 4096).with_switch("east").with_switch("west").querier("core", 0x0A000001);
    b.with_link("core", "east", 10).with_link("core", "west", 10).at("west").multicast_router = true;
    b.with_card("A1", "east", 30).with_zone("east", 8, {}, {"130"}).with_zone("west", 3);
    const auto load = b.load();
    CHECK(of(load, "core").groups == 12);           // 11 displays and a recorder, though east keeps its streams
    CHECK(of(load, "core").joins_on_a_port == 9);   // those of the east, of streams that come from there
    CHECK(of(load, "core").reports_after_query == Approx(1.2));
    CHECK(of(load, "west").groups == 12);           // the router there hears of all
    CHECK(of(load, "west").joins_on_a_port == 9);
    CHECK(of(load, "east").groups == 9);            // no router is there: what west joins it does not hear
    CHECK(of(load, "east").joins_on_a_port == 1);
    CHECK(of(load, "east").queue_frames == 30);
}

TEST_CASE("datagrams of media and of FEC may meet at a port", "[unit]") {
    auto b = site();
    b.venue().addressing.encapsulation = Encapsulation::rtp;
    b.venue().addressing.fec.emplace().classes = {PictureClass::hd};
    for (std::size_t c = 0; c < 10; ++c) b.venue().channels[c].picture = PictureClass::sd;
    CHECK(of(b.load(), "core").queue_frames == 40 * 3 + 10);
    CHECK(of(b.load(), "east").queue_frames == 3);
    b.venue().addressing.fec->row_packets = false;
    CHECK(of(b.load(), "core").queue_frames == 40 * 2 + 10);
}

TEST_CASE("what a switch cannot hold is a finding with the amount", "[unit]") {
    auto b = site();
    auto& core = b.at("core");
    core.group_table = 32;
    core.joins_per_port = 40;
    core.reports_per_second = 200;
    core.port_queue = 45;
    b.load();
    sort_findings(b.findings());
    CHECK(ids(b.findings()) ==
          std::vector<std::string>{"error network.group-table-full", "error network.too-many-joins",
                                   "warning network.queue-short", "warning network.too-many-reports",
                                   "note network.zones-hang-by-one"});
    CHECK(to_line(b.findings()[0]) ==
          "error: network.group-table-full: switch core: groups in its table at worst: 50, it takes "
          "32 (18 too many); take a switch with a larger table, or fewer displays behind this one");
}

TEST_CASE("membership times follow from the timers", "[outside]") {
    // RFC 3376 sections 8.4, 8.5 and 8.8, with their defaults and with RV 3, QI 60 s, QRI 10 s.
    using std::chrono::seconds;
    NetworkPolicy n;
    CHECK(membership_interval(n) == seconds(260));
    CHECK(other_querier_interval(n) == seconds(255));
    CHECK(leave_latency(n) == seconds(2));
    n.robustness = 3;
    n.query_interval = seconds(60);
    CHECK(membership_interval(n) == seconds(190));
    CHECK(other_querier_interval(n) == seconds(185));
    CHECK(leave_latency(n) == seconds(3));
    n.leave_latency = std::chrono::milliseconds(700);
    CHECK(leave_latency(n) == std::chrono::milliseconds(700));
}
