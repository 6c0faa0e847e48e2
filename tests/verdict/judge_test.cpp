// SPDX-License-Identifier: Apache-2.0
#include "verdict/seen.hpp"

#include "mastline/cause/cause.hpp"

#include <functional>

using namespace mastline;
using namespace mastline::test;
using namespace std::chrono_literals;

namespace {

const ExpectedLineup kLineup{"Test hall", "r1", {planned(12), planned(14), planned(15)}};

// The verdict on channel 112 after one thing was changed.
Verdict after(const std::function<void(FlowObservation&)>& change) {
    FlowObservation seen = right(kLineup.flows[0]);
    change(seen);
    return judge(kLineup.flows[0], &seen, kLineup, ten_seconds());
}

const Check& check(const Verdict& v, std::string_view id) {
    for (const auto& c : v.checks)
        if (c.id == id) return c;
    throw std::out_of_range("no check " + std::string(id));
}

// Nothing fails but this one.
void fails_alone(const Verdict& v, std::string_view id, const std::string& found) {
    INFO(id);
    REQUIRE(v.headline() != nullptr);
    CHECK(v.headline()->id == id);
    CHECK(v.headline()->found == found);
    CHECK(v.count(Outcome::failed) == 1);
}

}  // namespace

TEST_CASE("a channel that is as planned passes every check", "[unit]") {
    const auto v = after([](FlowObservation&) {});
    CHECK(v.outcome() == Outcome::passed);
    CHECK(v.count(Outcome::failed) == 0);
    CHECK(v.count(Outcome::noted) == 0);
    CHECK(v.count(Outcome::not_judged) == 0);
    CHECK(v.count(Outcome::passed) >= 20);
}

TEST_CASE("a group where nothing arrives fails, unless the watch was too short", "[unit]") {
    const auto v = judge(kLineup.flows[0], nullptr, kLineup, ten_seconds());
    fails_alone(v, "flow.arrival", "nothing arrives");
    CHECK(v.headline()->evidence == "watched for 10.0 s");
    const auto soon = judge(kLineup.flows[0], nullptr, kLineup, Watch{kStart, kStart + 500ms});
    CHECK(soon.outcome() == Outcome::not_judged);
}

TEST_CASE("a stream that stops or pauses is told with its moment", "[unit]") {
    fails_alone(after([](auto& f) { f.last = kStart + 4200ms; }), "flow.steady", "stopped after 4.200 s");
    fails_alone(after([](auto& f) {
                    f.inter_arrival->max = 3s;
                    f.silent_from = kStart + 2s;
                }),
                "flow.steady", "silent for 3.000 s");
}

TEST_CASE("another source, a second source and two senders of one address are told apart", "[unit]") {
    const auto other = *parse_ip_address("10.20.0.99");
    fails_alone(after([&](auto& f) { f.sources[0].address = other; }), "flow.source",
                "sent by 10.20.0.99 (7600 datagrams)");
    fails_alone(after([&](auto& f) { f.sources.push_back({other, {1}, 9, {}, {}}); }), "flow.source",
                "2 sources on the group");
    fails_alone(after([&](auto& f) { f.sources.push_back({f.sources[0].address, {1}, 9, {}, {}}); }),
                "flow.source", "2 senders with the same address");
}

TEST_CASE("a standby that sends alone is noted, one that sends beside the first fails", "[unit]") {
    const auto standby = *parse_ip_address("10.20.0.99");
    auto lineup = kLineup;
    lineup.flows[0].standby_source = standby;
    auto seen = right(lineup.flows[0]);
    const auto source_check = [&] { return check(judge(lineup.flows[0], &seen, lineup, ten_seconds()), "flow.source"); };
    CHECK(source_check().outcome == Outcome::passed);
    seen.sources.push_back({standby, {1}, 9, {}, {}});
    CHECK(source_check().outcome == Outcome::failed);
    seen.sources.erase(seen.sources.begin());
    CHECK(source_check().outcome == Outcome::noted);
    CHECK(source_check().found == "sent by the standby 10.20.0.99");
}

TEST_CASE("a channel that its standby sends does not clear the card that is silent", "[unit]") {
    auto lineup = kLineup;
    lineup.flows.resize(2);
    for (auto& flow : lineup.flows) flow.parts = {"card:A1"};
    lineup.flows[0].standby_source = *parse_ip_address("10.20.0.99");
    auto seen = right(lineup.flows[0]);
    const auto found = [&] { return explain(judge_all(lineup, {seen}, ten_seconds())); };
    CHECK(found().empty());  // it is right, so the card is
    seen.sources[0].address = *lineup.flows[0].standby_source;
    REQUIRE(found().size() == 1);
    REQUIRE(found()[0].set.size() == 1);
    CHECK(found()[0].set[0].parts == std::vector<std::string>{"card:A1"});
}

TEST_CASE("each fault of the datagrams fails its own check", "[unit]") {
    fails_alone(after([](auto& f) { f.udp_datagrams = 7600, f.rtp_datagrams = 0; }), "flow.encapsulation", "UDP");
    fails_alone(after([](auto& f) { f.ttl = ValueRange{9, 9}; }), "flow.ttl", "9");
    fails_alone(after([](auto& f) { f.dscp = ValueRange{0, 24}; }), "flow.dscp", "0 to 24");
    fails_alone(after([](auto& f) { f.stream->arrival_rate = megabits_per_second(6); }), "flow.rate", "6 Mbit/s");
    fails_alone(after([](auto& f) { f.stream->arrival_rate = BitRate(6'123'478); }), "flow.rate", "6.123 Mbit/s");
    fails_alone(after([](auto& f) { f.rtp->lost = 3; }), "flow.loss", "3 lost datagrams");
    fails_alone(after([](auto& f) { f.rtp->reordered = 2; }), "flow.order", "2 datagrams out of order");
    fails_alone(after([](auto& f) { f.rtp->duplicates = 4; }), "flow.repeats", "4 repeated datagrams");
}

TEST_CASE("a lower TTL and another packing are noted, not failed", "[unit]") {
    const auto v = after([](auto& f) {
        f.ttl = ValueRange{6, 6};
        f.packing[6] = 3;
    });
    CHECK(v.outcome() == Outcome::passed);
    CHECK(check(v, "flow.ttl").outcome == Outcome::noted);
    CHECK(check(v, "flow.packing").found == "3 datagrams with 6");
}

TEST_CASE("a stream in another VLAN than the plan's is wrong, and without a tag nothing can be told", "[unit]") {
    auto expected = planned(1);
    expected.vlan = VlanId{120};
    const auto judged = [&](std::vector<VlanObservation> vlans) {
        auto seen = right(planned(1));
        seen.vlans = std::move(vlans);
        return judge(expected, &seen, {"", "", {expected}}, ten_seconds());
    };
    const auto tags = [](std::initializer_list<int> ids) {
        VlanTags out{true, 0, {}};
        for (const int id : ids) out.add({static_cast<std::uint16_t>(id)});
        return out;
    };
    CHECK(check(judged({{tags({120}), 7600}}), "flow.vlan").outcome == Outcome::passed);
    // IEEE 802.1ad: the carrier's tag is the outer one.
    CHECK(check(judged({{tags({7, 120}), 7600}}), "flow.vlan").outcome == Outcome::passed);
    CHECK(check(judged({{tags({120}), 7599}, {tags({}), 1}}), "flow.vlan").outcome == Outcome::passed);
    const auto wrong = judged({{tags({120}), 7599}, {tags({30}), 1}});
    CHECK(check(wrong, "flow.vlan").outcome == Outcome::failed);
    CHECK(check(wrong, "flow.vlan").found == "VLAN 120: 7599 datagrams; VLAN 30: 1 datagram");
    CHECK(wrong.outcome() == Outcome::failed);
    CHECK(check(judged({{tags({120, 30}), 7600}}), "flow.vlan").found == "VLAN 30 in 120: 7600 datagrams");
    for (const auto& untold : {judged({}), judged({{tags({}), 7600}}), judged({{tags({0}), 7600}})}) {
        CHECK(check(untold, "flow.vlan").outcome == Outcome::not_judged);
        CHECK(untold.outcome() == Outcome::passed);
    }
    expected.vlan.reset();
    CHECK(check(judged({{tags({30}), 7600}}), "flow.vlan").outcome == Outcome::noted);
    const auto none = judged({{tags({}), 7600}});
    CHECK(std::ranges::none_of(none.checks, [](const Check& c) { return c.id == "flow.vlan"; }));
}

TEST_CASE("each fault of the transport stream fails its own check", "[unit]") {
    fails_alone(after([](auto& f) { f.stream->sync_losses = 2; }), "stream.sync", "sync was lost 2 times");
    fails_alone(after([](auto& f) { f.stream->transport_errors = 5; }), "stream.transport-error",
                "5 packets marked as damaged");
    fails_alone(after([](auto& f) { f.stream->continuity_errors = 17; }), "stream.continuity",
                "17 continuity errors");
    fails_alone(after([](auto& f) { f.stream->crc_errors = {{Pid(0), 0, 3}}; }), "stream.crc",
                "3 table sections with a wrong CRC");
    fails_alone(after([](auto& f) { f.stream->pcrs[0].discontinuities = 1; }), "stream.pcr-continuity",
                "1 step of the PCR without notice");
    fails_alone(after([](auto& f) { f.stream->pcrs[0].jitter.drift_free = 251ms; }), "stream.pcr-jitter",
                "251.000 ms on arrival");
    const auto noted = after([](auto& f) { f.stream->pcrs[0].jitter.drift_free = 80ms; });
    CHECK(check(noted, "stream.pcr-jitter").outcome == Outcome::noted);
    fails_alone(after([](auto& f) { f.stream->pcrs.clear(); }), "stream.pcr-interval", "no PCR on PID 257");
}

TEST_CASE("PCR jitter in a stuffed stream is told by position, whatever the network does", "[unit]") {
    const auto jittery = [](auto& f) {
        f.stream->null_packets = 5000;
        f.stream->pcrs[0].max_interval = 40ms;
        // Every other PCR 5 ms late: intervals of 20 and 40 ms over bytes worth 30 ms.
        f.stream->pcrs[0].rate = RateObservation{megabits_per_second(6), megabits_per_second(8), megabits_per_second(12)};
    };
    fails_alone(after(jittery), "stream.pcr-jitter", "10.000 ms in the stream");
    // Without null packets the rate may vary as it likes.
    const auto variable = after([&](auto& f) {
        jittery(f);
        f.stream->null_packets = 0;
    });
    CHECK(variable.outcome() == Outcome::passed);
}

TEST_CASE("PCR intervals are judged by 100 ms and noted by 40 ms", "[outside]") {
    // ISO/IEC 13818-1, 2.7.2: 100 ms; TS 101 154 recommends 40 ms.
    CHECK(after([](auto& f) { f.stream->pcrs[0].max_interval = 100ms; }).outcome() == Outcome::passed);
    fails_alone(after([](auto& f) { f.stream->pcrs[0].max_interval = 101ms; }), "stream.pcr-interval", "101.000 ms");
    const auto noted = after([](auto& f) { f.stream->pcrs[0].max_interval = 41ms; });
    CHECK(check(noted, "stream.pcr-interval").outcome == Outcome::noted);
}

TEST_CASE("a missing PMT hides the components and is told itself", "[unit]") {
    const auto v = after([](auto& f) {
        f.stream->programmes[0].pmt_seen = false;
        f.stream->programmes[0].components.clear();
    });
    fails_alone(v, "stream.pmt", "no PMT");
    CHECK(check(v, "stream.components").outcome == Outcome::not_judged);
}

TEST_CASE("missing, silent, ceasing and other components are told by PID", "[unit]") {
    fails_alone(after([](auto& f) { f.stream->programmes[0].components.pop_back(); }), "stream.components",
                "PID 258 mpeg1-audio is missing");
    fails_alone(after([](auto& f) { f.stream->programmes[0].components[1].packets = 0; }), "stream.components",
                "PID 258 mpeg1-audio is announced but sends nothing");
    fails_alone(after([](auto& f) { f.stream->pids[1].last = kStart + 3s; }), "stream.components",
                "PID 258 mpeg1-audio sends nothing after 3.000 s");
    const auto still = after([](auto& f) {
        f.stream->programmes[0].components[1].still_pictures = true;
        f.stream->pids[1].last = kStart + 3s;
    });
    CHECK(still.outcome() == Outcome::passed);
    fails_alone(after([](auto& f) { f.stream->programmes[0].components[0] = component(257, 0x24, "hevc"); }),
                "stream.components", "PID 257 h264 is hevc (stream_type 36)");
    const auto more = after([](auto& f) {
        f.stream->programmes[0].components.push_back(component(300, 0x06, "teletext"));
    });
    CHECK(check(more, "stream.components").outcome == Outcome::noted);
    CHECK(check(more, "stream.components").found == "also PID 300 teletext");
}

TEST_CASE("a virtual channel table that contradicts the PMT is told", "[unit]") {
    const auto told = [](ServiceLocation location) {
        return check(after([&](auto& f) { f.stream->programmes[0].service->location = location; }), "stream.components");
    };
    ServiceLocation location{Pid(257), {{{0x1B}, Pid(257), ""}, {{0x03}, Pid(258), "eng"}}};
    CHECK(told(location).outcome == Outcome::passed);
    location.elements[1].pid = Pid(300);
    location.pcr_pid = Pid(300);
    CHECK(told(location).outcome == Outcome::noted);
    CHECK(told(location).found == "the virtual channel table has PID 300 of stream_type 3, the PCR on PID 300, the PMT has not");
}

TEST_CASE("a time that just fails does not read like its limit", "[unit]") {
    fails_alone(after([](auto& f) { f.stream->pcrs[0].max_interval = 100ms + 37ns; }), "stream.pcr-interval",
                "100.00004 ms");
    CHECK(check(after([](auto& f) { f.stream->pcrs[0].max_interval = 40ms + 1ns; }), "stream.pcr-interval").found ==
          "40.000001 ms");
    CHECK(check(after([](auto& f) { f.stream->pcrs[0].max_interval = 100ms; }), "stream.pcr-interval").found ==
          "100.000 ms");
}

TEST_CASE("scrambling fails unless the plan allows it", "[unit]") {
    fails_alone(after([](auto& f) { f.stream->programmes[0].scrambled = true; }), "stream.scrambling", "scrambled");
    Expectation allowed = kLineup.flows[0];
    allowed.scrambling_allowed = true;
    FlowObservation seen = right(allowed);
    seen.stream->programmes[0].scrambled = true;
    CHECK(judge(allowed, &seen, kLineup, ten_seconds()).outcome() == Outcome::passed);
}

TEST_CASE("swapped channels are recognised as such, and nothing else is held against them", "[unit]") {
    const auto v = after([](auto& f) { f.stream = stream(14); });
    fails_alone(v, "stream.service",
                "group of 112 carries 114: programme 14 \"Service 14\"");
    // All services of this lineup could have one programme number: then the name tells.
    const auto same_number = after([](auto& f) {
        f.stream = stream(14);
        f.stream->programmes[0].program_number = {12};
    });
    CHECK(same_number.headline()->found ==
          "group of 112 carries 114: programme 12 \"Service 14\"");
}

TEST_CASE("a service nobody planned, and a wrong name, are told as they are", "[unit]") {
    fails_alone(after([](auto& f) { f.stream = stream(77); }), "stream.service", "programme 77 \"Service 77\"");
    fails_alone(after([](auto& f) { f.stream->programmes[0].service->name = "Surprise"; }), "stream.name",
                "\"Surprise\"");
}

TEST_CASE("the name is not missed before an SDT was due", "[unit]") {
    FlowObservation seen = right(kLineup.flows[0]);
    seen.stream->programmes[0].service.reset();
    const auto early = judge(kLineup.flows[0], &seen, kLineup, Watch{kStart + 8s, kStart + 10s});
    CHECK(check(early, "stream.name").outcome == Outcome::not_judged);
    CHECK(early.outcome() == Outcome::passed);
    const auto late = judge(kLineup.flows[0], &seen, kLineup, ten_seconds());
    CHECK(check(late, "stream.name").outcome == Outcome::failed);
}

TEST_CASE("losses of our own are noted and the rate is not held against the network", "[unit]") {
    const auto v = after([](auto& f) {
        f.own_drops = 40;
        f.stream->arrival_rate = megabits_per_second(6);
    });
    CHECK(v.outcome() == Outcome::passed);
    CHECK(check(v, "flow.own-drops").outcome == Outcome::noted);
    CHECK(check(v, "flow.rate").outcome == Outcome::not_judged);
}

TEST_CASE("where this machine dropped datagrams of nobody knows which flow, no silence and no rate is a flow's fault", "[unit]") {
    const auto v = after([](auto& f) {
        f.own_drops_possible = true;
        f.stream->arrival_rate = megabits_per_second(6);
        f.last = *f.last - 3s;
    });
    CHECK(v.outcome() == Outcome::passed);
    for (const auto* id : {"flow.rate", "flow.steady"}) CHECK(check(v, id).outcome == Outcome::not_judged);
    CHECK(check(v, "flow.own-drops").outcome == Outcome::noted);
}

TEST_CASE("bare UDP has no loss count of its own and says so", "[unit]") {
    const auto v = after([](auto& f) {
        f.rtp.reset();
        f.repeated_datagrams = 2;
    });
    CHECK(check(v, "flow.loss").outcome == Outcome::not_judged);
    CHECK(check(v, "flow.repeats").outcome == Outcome::failed);
}

TEST_CASE("datagrams that all come twice are told as that before the rate and the counters they break", "[unit]") {
    const auto v = after([](auto& f) {
        f.rtp.reset();
        f.repeated_datagrams = 7600;
        f.repeats_continuity_errors = 7590;
        f.stream->continuity_errors = 7593;
        f.stream->arrival_rate = megabits_per_second(16);
    });
    CHECK(v.headline()->id == "flow.repeats");
    CHECK(v.headline()->evidence == "a loop in the network, or a sender that sends twice");
    CHECK(check(v, "flow.rate").evidence == "with the repeated datagrams");
    CHECK(check(v, "stream.continuity").found == "7593 continuity errors");
    CHECK(check(v, "stream.continuity").evidence.starts_with("7590 of them in repeated datagrams"));
}

TEST_CASE("all flows of a lineup are judged, in its order", "[unit]") {
    const auto verdicts = judge_all(kLineup, {right(kLineup.flows[2]), right(kLineup.flows[0])}, ten_seconds());
    REQUIRE(verdicts.size() == 3);
    CHECK(verdicts[0].outcome() == Outcome::passed);
    CHECK(verdicts[1].outcome() == Outcome::failed);
    CHECK(verdicts[2].outcome() == Outcome::passed);
}
