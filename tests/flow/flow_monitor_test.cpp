// SPDX-License-Identifier: Apache-2.0
#include "mastline/flow/flow_set.hpp"

using namespace mastline;
using namespace std::chrono_literals;

namespace {

constexpr IpAddress kSender = IpAddress::v4(0x0A14000B), kOther = IpAddress::v4(0x0A14000C);
constexpr IpAddress kGroup = IpAddress::v4(0xEFC00A14);

// Seven packets of PID 0x100 with payload, counters running on.
std::vector<std::byte> seven(int first_counter) {
    std::vector<std::byte> out;
    for (int i = 0; i < 7; ++i) {
        const int header[] = {0x47, 0x01, 0x00, 0x10 | ((first_counter + i) & 15)};
        for (const int b : header) out.push_back(static_cast<std::byte>(b));
        for (int n = 0; n < 184; ++n) out.push_back(static_cast<std::byte>(first_counter + i + n));
    }
    return out;
}

std::vector<std::byte> rtp(int sequence, std::vector<std::byte> body, int payload_type = 33, int ssrc = 1) {
    std::vector<std::byte> out;
    const int header[] = {0x80, payload_type, sequence >> 8 & 255, sequence & 255, 0, 0, 0, 0, 0, 0, 0, ssrc};
    for (const int b : header) out.push_back(static_cast<std::byte>(b));
    out.insert(out.end(), body.begin(), body.end());
    return out;
}

class Wire {
public:
    explicit Wire(FlowOptions options = {}) { set.expect({kGroup, {5004}}, std::move(options)); }
    void send(const std::vector<std::byte>& payload, IpAddress source = kSender, std::uint16_t port = 5004) {
        Datagram d;
        d.payload = payload;
        d.arrival = now;
        d.source = source;
        d.source_port = {40'000};
        d.destination = kGroup;
        d.port = {port};
        d.ttl = 8;
        d.dscp = 24;
        set.datagram(d);
        now += 1ms;
    }
    FlowObservation seen() { return set.observe().front(); }

    FlowSet set;
    Duration now = 1'700'000'000s;
};

}  // namespace

TEST_CASE("bare transport packets and RTP are told apart by their bytes", "[unit]") {
    Wire udp;
    for (int i = 0; i < 10; ++i) udp.send(seven(7 * i));
    CHECK(udp.seen().encapsulation() == Encapsulation::udp);
    CHECK(udp.seen().packing[7] == 10);
    CHECK(udp.seen().stream->packets == 70);
    CHECK(udp.seen().stream->continuity_errors == 0);
    CHECK_FALSE(udp.seen().rtp);
    Wire over_rtp;
    for (int i = 0; i < 10; ++i) over_rtp.send(rtp(i, seven(7 * i)));
    CHECK(over_rtp.seen().encapsulation() == Encapsulation::rtp);
    CHECK(over_rtp.seen().stream->packets == 70);
    CHECK(over_rtp.seen().rtp->lost == 0);
    Wire other;
    other.send(std::vector<std::byte>(100, std::byte{0x42}));
    CHECK_FALSE(other.seen().encapsulation());
    CHECK_FALSE(other.seen().stream);
    CHECK(other.seen().other_datagrams == 1);
}

// SMPTE ST 2022-2 has packets of 204 bytes too (from memory); 192 with a time before each are those of IEC 62481-2 (from
// memory).
TEST_CASE("packets of 204 and of 192 bytes are judged without what surrounds them", "[unit]") {
    const auto surrounded = [](const std::vector<std::byte>& bare, std::size_t before, std::size_t behind) {
        std::vector<std::byte> out;
        for (std::size_t at = 0; at < bare.size(); at += 188) {
            out.insert(out.end(), before, std::byte{0x47});  // as a sync byte may look
            out.insert(out.end(), bare.begin() + static_cast<std::ptrdiff_t>(at), bare.begin() + static_cast<std::ptrdiff_t>(at + 188));
            out.insert(out.end(), behind, std::byte{0x47});
        }
        return out;
    };
    for (const std::size_t size : {192U, 204U})
        for (const bool over_rtp : {false, true}) {
            INFO(size << (over_rtp ? " RTP" : " UDP"));
            Wire wire;
            for (int i = 0; i < 20; ++i) {
                auto body = surrounded(seven(7 * i), size == 192 ? 4 : 0, size == 192 ? 0 : 16);
                if (i == 10) body[2 * size + (size == 192 ? 4 : 0)] = std::byte{0};
                wire.send(over_rtp ? rtp(i, body) : body);
            }
            const auto seen = wire.seen();
            CHECK(seen.packet_size == size);
            CHECK(seen.packing[7] == 20);
            CHECK(seen.other_datagrams == 0);
            REQUIRE(seen.stream);
            CHECK(seen.stream->packets == 140);
            CHECK(seen.stream->continuity_errors == 0);
            CHECK(seen.stream->sync_byte_errors == 1);
        }
}

TEST_CASE("a damaged sync byte does not turn a datagram into something else", "[unit]") {
    Wire wire;
    for (int i = 0; i < 10; ++i) {
        auto body = seven(7 * i);
        if (i == 5) body[0] = std::byte{0x80};  // looks like RTP now
        wire.send(body);
    }
    CHECK(wire.seen().udp_datagrams == 10);
    CHECK(wire.seen().other_datagrams == 0);
    CHECK(wire.seen().stream->sync_byte_errors == 1);
}

TEST_CASE("a stream cut within packets is judged, and told by its packing", "[unit]") {
    // RFC 2250 section 2: an integral number of transport packets in each; 1,000 bytes hold none.
    std::vector<std::byte> all;
    for (int i = 0; i < 60; ++i)
        for (const std::byte b : seven(7 * i)) all.push_back(b);
    for (const bool with_rtp : {false, true})
        for (const std::size_t size : {std::size_t{1316}, std::size_t{1000}}) {
            INFO(size << (with_rtp ? " RTP" : " UDP"));
            Wire wire;
            std::uint64_t sent = 0;
            if (size == 1000) wire.send(with_rtp ? rtp(99, seven(0)) : seven(0));  // that it is a transport stream
            for (std::size_t at = size == 1000 ? 1316 : 77; at + size <= all.size(); at += size, ++sent) {
                const std::vector<std::byte> part(all.begin() + static_cast<std::ptrdiff_t>(at), all.begin() + static_cast<std::ptrdiff_t>(at + size));
                wire.send(with_rtp ? rtp(100 + static_cast<int>(sent), part) : part);
            }
            const auto seen = wire.seen();
            REQUIRE(seen.stream);
            CHECK(seen.packing[0] == sent);
            CHECK(seen.stream->sync_losses == 0);
            CHECK(seen.stream->sync_byte_errors == 0);
            CHECK(seen.stream->continuity_errors == 0);
            CHECK(seen.stream->packets >= (all.size() - 1316 - size) / 188);
        }
}

TEST_CASE("bytes that are no transport packets do not become some by their length", "[unit]") {
    Wire wire;
    for (int i = 0; i < 50; ++i) {
        std::vector<std::byte> noise;
        for (int n = 0; n < 1316; ++n) noise.push_back(static_cast<std::byte>((n * n + 31 * i) & 0x7F));
        wire.send(noise);
    }
    CHECK_FALSE(wire.seen().stream);
    CHECK(wire.seen().other_datagrams == 50);
}

TEST_CASE("lost, late and repeated RTP packets are counted, late ones put back, repeated ones kept out",
          "[unit]") {
    Wire wire;
    for (const int i : {0, 1, 3, 2, 4, 4, 7}) wire.send(rtp(i, seven(7 * i)));
    const auto seen = wire.seen();
    CHECK(seen.rtp->packets == 7);
    CHECK(seen.rtp->lost == 2);
    CHECK(seen.rtp->reordered == 1);
    CHECK(seen.rtp->duplicates == 1);
    CHECK(seen.rtp->gaps == 2);
    CHECK(seen.rtp->largest_gap == 2);
    CHECK(seen.rtp->restored == 1);
    CHECK(seen.stream->packets == 6 * 7);
    CHECK(seen.stream->continuity_errors == 1);
}

TEST_CASE("a repeated datagram of bare packets is recognised, a right stream has none", "[unit]") {
    Wire wire;
    for (int i = 0; i < 100; ++i) {
        wire.send(seven(7 * i));
        if (i % 20 == 0) wire.send(seven(7 * i));
    }
    CHECK(wire.seen().repeated_datagrams == 5);
}

TEST_CASE("what datagrams that all come twice break is told as theirs", "[unit]") {
    // ISO/IEC 13818-1, 2.4.3.3: a packet may be sent twice in a row. Seven, repeated together, put the counter back by six;
    // what follows goes on from them.
    Wire wire;
    for (int i = 0; i < 100; ++i)
        for (int copy = 0; copy < 2; ++copy) wire.send(seven(7 * i));
    const auto seen = wire.seen();
    CHECK(seen.repeated_datagrams == 100);
    CHECK(seen.repeats_continuity_errors == 100);
    CHECK(seen.stream->continuity_errors == 100);
}

TEST_CASE("a loss beside repeats is none of theirs, nor is a packet alone that is sent twice an error", "[unit]") {
    Wire wire;
    for (int i = 0; i < 100; ++i) {
        if (i == 50) continue;
        auto one = seven(i);
        one.resize(188);
        wire.send(one);
        if (i % 10 == 0) wire.send(one);
    }
    const auto seen = wire.seen();
    CHECK(seen.repeated_datagrams == 9);
    CHECK(seen.repeats_continuity_errors == 0);
    CHECK(seen.stream->duplicates == 9);
    CHECK(seen.stream->continuity_errors == 1);
}

TEST_CASE("a second source is listed and kept out of the stream", "[unit]") {
    Wire wire;
    for (int i = 0; i < 20; ++i) {
        wire.send(seven(7 * i));
        wire.send(seven(3 * i), kOther);
    }
    const auto seen = wire.seen();
    REQUIRE(seen.sources.size() == 2);
    CHECK(seen.sources[1].address == kOther);
    CHECK(seen.sources[1].datagrams == 20);
    CHECK(seen.stream->packets == 140);
    CHECK(seen.stream->continuity_errors == 0);
    CHECK(seen.source_switches == 0);
}

TEST_CASE("the planned source is the main one even if another came first", "[unit]") {
    FlowOptions options;
    options.source = kSender;
    Wire wire(options);
    wire.send(seven(0), kOther);
    for (int i = 0; i < 20; ++i) {
        wire.send(seven(7 * i));
        wire.send(seven(3 * i), kOther);
    }
    CHECK(wire.seen().sources[wire.seen().main_source].address == kSender);
    CHECK(wire.seen().stream->continuity_errors == 0);
}

TEST_CASE("when the main source falls silent for a second another takes over", "[unit]") {
    Wire wire;
    for (int i = 0; i < 10; ++i) wire.send(seven(7 * i));
    wire.now += 2s;
    for (int i = 0; i < 10; ++i) wire.send(seven(7 * i), kOther);
    CHECK(wire.seen().source_switches == 1);
    CHECK(wire.seen().main_source == 1);
}

TEST_CASE("what the listening machine dropped is not held against the network", "[unit]") {
    Wire wire;
    for (int i = 0; i < 5; ++i) wire.send(rtp(i, seven(7 * i)));
    wire.set.own_loss({kGroup, {5004}}, 3);
    for (int i = 8; i < 12; ++i) wire.send(rtp(i, seven(7 * i)));
    const auto seen = wire.seen();
    CHECK(seen.own_drops == 3);
    CHECK(seen.rtp->lost == 0);
    CHECK(seen.stream->continuity_errors == 0);
}

TEST_CASE("another synchronization source starts a new count", "[unit]") {
    Wire wire;
    for (int i = 0; i < 5; ++i) wire.send(rtp(i, seven(7 * i)));
    for (int i = 0; i < 5; ++i) wire.send(rtp(30'000 + i, seven(7 * i), 33, 2));
    CHECK(wire.seen().rtp->ssrc_changes == 1);
    CHECK(wire.seen().rtp->lost == 0);
}

// RFC 3550 A.1 takes a number far off for a restart once the next follows: nothing was lost.
TEST_CASE("a sender that numbers anew loses no packet by it", "[unit]") {
    Wire wire;
    for (int i = 0; i < 20; ++i) wire.send(rtp(i < 10 ? i : 30'000 + i, seven(7 * i)));
    const auto seen = wire.seen();
    CHECK(seen.rtp->restarts == 1);
    CHECK(seen.rtp->strays == 0);
    CHECK(seen.rtp->lost == 0);
    CHECK(seen.stream->packets == 20 * 7);
    CHECK(seen.stream->continuity_errors == 0);
}

// TR 101 290 no. 2.4 is of the sender: where the network lost packets that no counter tells of, a PCR does not
// stand wrong.
TEST_CASE("a lost datagram of packets without payload makes no PCR inaccurate", "[unit]") {
    constexpr std::int64_t slot = 13'500;  // 27 MHz ticks a packet: 3.008 Mbit/s
    const auto datagram = [&](int n) {
        std::vector<std::byte> out;
        for (int i = 0; i < 7; ++i) {
            std::vector<std::byte> packet(188, std::byte{0xFF});
            const std::int64_t ticks = (7 * n + i) * slot, base = ticks / 300, extension = ticks % 300;
            const std::int64_t head[] = {0x47, i == 0 ? 0x01 : 0x1F, i == 0 ? 0x00 : 0xFF, i == 0 ? 0x20 : 0x10, 183, 0x10, base >> 25, base >> 17,
                                         base >> 9, base >> 1, (base & 1) << 7 | 0x7E | extension >> 8, extension};
            for (std::size_t b = 0; b < (i == 0 ? 12 : 4); ++b) packet[b] = static_cast<std::byte>(head[b]);
            out.insert(out.end(), packet.begin(), packet.end());
        }
        return out;
    };
    Wire wire;
    for (int n = 0; n < 400; ++n)
        if (n != 390) wire.send(rtp(n, datagram(n)));
    const auto seen = wire.seen();
    CHECK(seen.rtp->lost == 1);
    CHECK(seen.stream->continuity_errors == 0);
    const auto* accuracy = indicator(*seen.stream, "2.4");
    CHECK(accuracy->judged);
    CHECK(accuracy->found.count == 0);
}

TEST_CASE("a number far off alone stays a stray", "[unit]") {
    Wire wire;
    for (int i = 0; i < 20; ++i) wire.send(rtp(i == 10 ? 30'000 : i - (i > 10 ? 1 : 0), seven(7 * (i - (i > 10 ? 1 : 0)))));
    const auto seen = wire.seen();
    CHECK(seen.rtp->strays == 1);
    CHECK(seen.rtp->restarts == 0);
    CHECK(seen.stream->packets == 19 * 7);
    CHECK(seen.stream->continuity_errors == 0);
}

TEST_CASE("FEC of SMPTE 2022-1 is known by its port and form", "[unit]") {
    Wire wire;
    std::vector<std::byte> fec(16 + 1316, std::byte{5});
    fec[4] = std::byte{0x80};   // E
    fec[12] = std::byte{0x00};  // exclusive or, of a column
    for (int i = 0; i < 5; ++i) {
        wire.send(rtp(i, seven(7 * i)));
        wire.send(rtp(i, fec, 96), kSender, 5006);
        wire.send(rtp(i, fec, 96), kSender, 5008);
    }
    const auto flows = wire.set.observe();
    REQUIRE(flows.size() == 3);
    CHECK(flows[0].fec == FecRole::none);
    CHECK(flows[1].fec == FecRole::column);
    CHECK(flows[2].fec == FecRole::row);
}

TEST_CASE("TTL, DSCP and inter-arrival time are those of the main source", "[unit]") {
    Wire wire;
    for (int i = 0; i < 100; ++i) wire.send(seven(7 * i));
    const auto seen = wire.seen();
    CHECK(seen.ttl == ValueRange{8, 8});
    CHECK(seen.dscp == ValueRange{24, 24});
    CHECK(seen.inter_arrival->count == 99);
    CHECK(seen.inter_arrival->min == 1ms);
    CHECK(seen.inter_arrival->max == 1ms);
}
