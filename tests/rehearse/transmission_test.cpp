// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "recording_outlet.hpp"

using namespace mastline;
using namespace mastline::test;
using std::chrono::milliseconds;
using std::chrono::seconds;

namespace {

Expectation rtp_television() {
    Expectation flow = television();
    flow.encapsulation = Encapsulation::rtp;
    return flow;
}

std::vector<unsigned> sequence_numbers(const std::vector<Sent>& sent) {
    std::vector<unsigned> out;
    for (const auto& datagram : sent) out.push_back(read_u16(datagram.bytes, 2));
    return out;
}

std::vector<unsigned> numbers(const std::string& fault) {
    auto out = sequence_numbers(rehearse(lineup_of({rtp_television()}), {fault}, seconds(1)));
    out.resize(12);
    return out;
}

std::vector<Sent> sent_on(const std::vector<Sent>& all, std::size_t flow, bool second = false) {
    std::vector<Sent> out;
    for (const auto& datagram : all)
        if (datagram.route.flow == flow && datagram.route.second_source == second)
            out.push_back(datagram);
    return out;
}

}  // namespace

TEST_CASE("seven packets ride in a UDP datagram, without anything else", "[unit]") {
    for (const auto& datagram : rehearse(lineup_of({television()}), {}, seconds(1)))
        CHECK(datagram.bytes.size() == 1316);
}

TEST_CASE("the planned number of packets rides in a datagram", "[unit]") {
    Expectation flow = television();
    flow.packets_per_datagram = 4;
    for (const auto& datagram : rehearse(lineup_of({flow}), {}, seconds(1)))
        CHECK(datagram.bytes.size() == 4 * 188);
}

// RFC 3550, 5.1; RFC 2250, 2: payload type 33 (RFC 3551 table 5), 90 kHz.
TEST_CASE("an RTP header counts datagrams and 90 kHz", "[outside]") {
    const auto sent = rehearse(lineup_of({rtp_television()}), {}, seconds(2));
    REQUIRE(sent.size() == 1520);  // 8 Mbit/s / (7 * 1504 bit), rounded up
    for (std::size_t i = 0; i < sent.size(); ++i) {
        const ByteView header = sent[i].bytes;
        CHECK(read_u8(header, 0) == 0x80);  // version 2, no padding, extension or sources
        CHECK(read_u8(header, 1) == 33);
        CHECK(read_u16(header, 2) == (i + 1) % 65536);
        // 1316 us a datagram, rounded down to 1/90000 s.
        CHECK(read_u32(header, 4) == i * 1316 * 90 / 1000);
        CHECK(read_u32(header, 8) == read_u32(sent[0].bytes, 8));
        CHECK(read_u8(header, 12) == kSyncByte);
    }
}

TEST_CASE("datagrams of all channels leave evenly spread", "[unit]") {
    std::vector<Expectation> flows(10, television());
    for (std::size_t i = 0; i < flows.size(); ++i) flows[i].channel = std::to_string(101 + i);
    const auto sent = rehearse(lineup_of(flows), {}, seconds(1));
    CHECK(sent.size() == Approx(7600).margin(1));
    // 1316 us between datagrams of one flow, a tenth of it between flows; ticks are rounded down.
    for (std::size_t i = 1; i < sent.size(); ++i) {
        const auto gap = (sent[i].due - sent[i - 1].due).count();
        if (gap < 3550 || gap > 3556) FAIL("gap of " << gap << " ticks before datagram " << i);
    }
}

TEST_CASE("a missing stream sends nothing in its window and is itself before and after", "[unit]") {
    const auto sent = rehearse(lineup_of({television()}), {"101:missing@1s+1s"}, seconds(3));
    const auto inside = std::count_if(sent.begin(), sent.end(), [](const Sent& s) {
        return s.due >= PcrTicks(seconds(1)) && s.due < PcrTicks(seconds(2));
    });
    CHECK(inside == 0);
    CHECK(sent.size() == Approx(1520).margin(2));
}

TEST_CASE("each n-th datagram can be lost, and its sequence number with it", "[unit]") {
    CHECK(numbers("101:loss,every=4") ==
          std::vector<unsigned>{1, 2, 3, 5, 6, 7, 9, 10, 11, 13, 14, 15});
}

TEST_CASE("a share of datagrams can be lost at random, the same on every run", "[unit]") {
    const auto lineup = lineup_of({rtp_television()});
    const auto first = sequence_numbers(rehearse(lineup, {"101:loss,rate=2%"}, seconds(20)));
    const double lost = 1.0 - static_cast<double>(first.size()) / 15198.0;
    CHECK(lost == Approx(0.02).margin(0.004));
    CHECK(first == sequence_numbers(rehearse(lineup, {"101:loss,rate=2%"}, seconds(20))));
}

TEST_CASE("each n-th datagram can be sent twice", "[unit]") {
    CHECK(numbers("101:duplicate,every=4") ==
          std::vector<unsigned>{1, 2, 3, 4, 4, 5, 6, 7, 8, 8, 9, 10});
}

TEST_CASE("a datagram and its follower can change places", "[unit]") {
    CHECK(numbers("101:reorder,every=4") ==
          std::vector<unsigned>{1, 2, 3, 5, 4, 6, 7, 9, 8, 10, 11, 13});
}

TEST_CASE("a wrong service is another channel's stream on this channel's group", "[unit]") {
    const auto sent =
        rehearse(lineup_of({television(), radio()}), {"102:wrong-service,of=101"}, seconds(2));
    const auto packets = packets_of(sent_on(sent, 1));
    CHECK(count_of(packets, Pid(257)) > 5000);
    CHECK(continuity_faults(packets) == 0);
    const auto pat = packets[starts_of(packets, kPatPid).front()];
    CHECK(read_u16(pat, 13) == 501);  // program_number, after pointer and eight bytes of header
    CHECK(continuity_faults(packets_of(sent_on(sent, 0))) == 0);
}

TEST_CASE("a wrong service ends with its window", "[unit]") {
    const auto sent =
        rehearse(lineup_of({television(), radio()}), {"101:wrong-service@1s+1s"}, seconds(3));
    for (const auto& datagram : sent_on(sent, 0)) {
        const bool inside =
            datagram.due >= PcrTicks(seconds(1)) && datagram.due < PcrTicks(seconds(2));
        const auto packets = packets_of({datagram});
        CHECK(count_of(packets, inside ? Pid(257) : Pid(300)) == 0);
    }
}

TEST_CASE("a second source sends a full stream of its own", "[unit]") {
    const auto sent = rehearse(lineup_of({television()}), {"101:second-source@1s"}, seconds(3));
    const auto planned = packets_of(sent_on(sent, 0)), second = packets_of(sent_on(sent, 0, true));
    CHECK(planned.size() == Approx(3 * 5319).margin(8));
    CHECK(second.size() == Approx(2 * 5319).margin(8));
    CHECK(continuity_faults(planned) == 0);
    CHECK(continuity_faults(second) == 0);
    CHECK(continuity_faults(packets_of(sent)) > 1000);  // to a receiver that takes both
}

TEST_CASE("a low rate sends the asked-for share of datagrams", "[unit]") {
    const auto sent = rehearse(lineup_of({television()}), {"101:low-rate,percent=50%"}, seconds(4));
    CHECK(sent.size() == Approx(4 * 760 / 2).margin(2));
    CHECK(continuity_faults(packets_of(sent)) == 0);
}

TEST_CASE("faults of one channel leave the others alone", "[unit]") {
    Expectation other = television();
    other.channel = "103";
    const auto lineup = lineup_of({television(), other});
    const auto clean = packets_of(sent_on(rehearse(lineup, {}, seconds(1)), 1));
    for (const auto& doc : kFaultDocs) {
        const auto sent = rehearse(lineup, {"101:" + std::string(doc.name)}, seconds(1));
        CHECK(packets_of(sent_on(sent, 1)) == clean);
    }
}
