// SPDX-License-Identifier: Apache-2.0
#include "mastline/watch/rolling_watch.hpp"

#include <catch2/catch.hpp>

#include "verdict/seen.hpp"

using namespace mastline;
using namespace mastline::test;
using namespace std::chrono_literals;

namespace {

// RFC 3550 and RFC 2250: twelve bytes of header, then seven null packets of ISO/IEC 13818-1.
std::vector<std::byte> rtp_of_null_packets(int sequence) {
    std::vector<std::byte> out;
    for (const int b : {0x80, 33, sequence >> 8 & 255, sequence & 255, 0, 0, 0, 0, 0, 0, 0, 1}) out.push_back(static_cast<std::byte>(b));
    for (int i = 0; i < 7; ++i) {
        for (const int b : {0x47, 0x1F, 0xFF, 0x10}) out.push_back(static_cast<std::byte>(b));
        out.resize(out.size() + 184);
    }
    return out;
}

// One flow of a thousand datagrams a second, looked at twice a second.
class Air {
public:
    Air() : watch({"Hall", "r1", {planned(12)}}, kStart, 10s) {}

    // `lost`: a datagram that does not arrive, by its number from the start.
    void run(Duration length, std::optional<int> lost = std::nullopt, bool silent = false) {
        for (const Duration end = now + length; now < end; now += 1ms) {
            if (number++ != lost && !silent) send();
            if ((now - kStart) % 500ms == 499ms) look = watch.look(now + 1ms);
        }
    }
    const Check& check(std::string_view id) const {
        for (const auto& c : look.channels[0].verdict.checks)
            if (c.id == id) return c;
        FAIL("no check " << id);
        throw std::logic_error("unreached");
    }

    RollingWatch watch;
    LineupLook look;
    Duration now = kStart;
    int number = 0;

private:
    void send() {
        const auto payload = rtp_of_null_packets(number - 1);
        Datagram d;
        d.payload = payload;
        d.arrival = now;
        d.source = *planned(12).source;
        d.source_port = {40'000};
        d.destination = planned(12).flow.group.address();
        d.port = {5004};
        watch.on_datagram(d);
    }
};

}  // namespace

TEST_CASE("a datagram lost anywhere is counted once, also where one window gives way to the next", "[unit]") {
    // Windows begin at 0, 7.5 and 15 s and give way at 10 and 17.5 s.
    for (const int lost : {3'000, 7'499, 7'500, 7'501, 9'998, 9'999, 10'000, 10'001, 12'000, 17'499, 17'500}) {
        Air air;
        air.run(22s, lost);
        INFO(lost);
        CHECK(air.look.channels[0].counts.lost == 1);
        CHECK(air.look.channels[0].counts.datagrams == 21'999);
    }
}

TEST_CASE("a loss is told from when it is met, for one window at least and two at most", "[unit]") {
    for (const int lost : {1'000, 5'000, 9'000, 9'900, 12'000}) {
        Air air;
        air.run(std::chrono::milliseconds(lost), lost);
        CHECK(air.check("flow.loss").outcome == Outcome::passed);
        air.run(1s, lost);
        INFO(lost);
        CHECK(air.check("flow.loss").outcome == Outcome::failed);
        air.run(8500ms, lost);
        CHECK(air.check("flow.loss").outcome == Outcome::failed);
        air.run(12s, lost);
        CHECK(air.check("flow.loss").outcome == Outcome::passed);
    }
}

TEST_CASE("the rate is that of the last second, and silence is told by its length", "[unit]") {
    Air air;
    air.run(5s);
    // 1000 datagrams of 1316 bytes of transport packets.
    CHECK(air.look.channels[0].rate->bits_per_second() == Approx(10'528'000).margin(20'000));
    air.run(1500ms, std::nullopt, true);
    CHECK(air.look.channels[0].rate->bits_per_second() == 0);
    CHECK(air.check("flow.steady").found == "silent for 1.5 s");
    air.run(20s, std::nullopt, true);
    CHECK(air.check("flow.arrival").outcome == Outcome::failed);
}

TEST_CASE("a querier that another took over from is no second one", "[unit]") {
    // RFC 2236 section 2: a general query of IGMPv2, 10 s to respond.
    const std::array<std::uint8_t, 8> query{0x11, 100, 0xEE, 0x9B, 0, 0, 0, 0};
    RollingWatch watch({"Hall", "r1", {planned(12)}}, kStart, 10s);
    const auto ask = [&](std::uint32_t from, Duration at) {
        IpPacket packet;
        packet.source = IpAddress::v4(from);
        packet.destination = IpAddress::v4(0xE0000001);
        packet.protocol = 2;
        packet.ttl = 1;
        packet.arrival = at;
        packet.payload = std::as_bytes(std::span(query));
        watch.on_membership(packet);
    };
    Duration at = kStart;
    for (int i = 0; i < 3; ++i) ask(0x0A000001, at += 125s);
    CHECK(watch.look(at).querier.outcome == Outcome::passed);
    for (int i = 0; i < 3; ++i) ask(0x0A000002, at += 125s);
    CHECK(watch.look(at).querier.outcome == Outcome::passed);
    CHECK(watch.look(at + 300s).querier.outcome == Outcome::failed);
    CHECK(watch.look(at, "nobody may").querier.outcome == Outcome::not_judged);
}
