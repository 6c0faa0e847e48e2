// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "mastline/flow/flow_monitor.hpp"
#include "mastline/stream/still_collector.hpp"
#include "support/dice.hpp"
#include "support/ts_builder.hpp"

using namespace mastline;
using namespace mastline::test;

namespace still_collector_test {

namespace {

constexpr unsigned kPmt = 0x100, kVideo = 0x101, kAudio = 0x102;

// An AVC access unit by its first bytes (ISO/IEC 14496-10, 7.4.1): unit delimiter, then a parameter set and an IDR
// picture, or another picture; the rest is of no meaning here.
Bytes unit(bool access, std::size_t size, int mark) {
    Bytes out = bytes_of({0, 0, 1, 9, 0x10});
    append(out, access ? bytes_of({0, 0, 1, 0x67, 0x64, 0, 0, 1, 0x65}) : bytes_of({0, 0, 1, 0x41}));
    out.resize(size, static_cast<std::byte>(mark));
    return out;
}

class Made {
public:
    Made& tables(unsigned programme = 7, unsigned video_type = 0x1B) {
        stream_.section(0, pat_section(1, {{programme, kPmt}}));
        stream_.section(kPmt, pmt_section(programme, kVideo, {{3, kAudio, {}}, {video_type, kVideo, {}}}));
        return *this;
    }
    Made& picture(bool access, std::size_t size, int mark) {
        stream_.pes(packet(kVideo), pes_packet(0xE0, 90'000, {}, unit(access, size, mark)));
        stream_.pes(packet(kAudio), pes_packet(0xC0, 90'000, {}, bytes_of("sound")));
        return *this;
    }
    Made& nulls(int count = 10) { return stream_.nulls(count), *this; }
    StreamBuilder& stream() { return stream_; }
    Bytes bytes() const { return stream_.bytes(); }

private:
    StreamBuilder stream_;
};

StillMaterial collected(const Bytes& bytes, unsigned programme = 7) {
    StillCollector out(ProgramNumber{static_cast<std::uint16_t>(programme)});
    out.packets(bytes, std::chrono::seconds(5));
    return out.material();
}

Bytes two_units(int first, int second) { return joined({unit(true, 3000, first), unit(false, 500, second)}); }

}  // namespace

TEST_CASE("a still is made of the first access point behind the tables and of the picture behind it", "[unit]") {
    Made made;
    made.picture(true, 1000, 1).tables().picture(false, 900, 2).picture(true, 3000, 3).picture(false, 500, 4).picture(false, 700, 5).nulls();
    const auto got = collected(made.bytes());
    CHECK(got.lack.empty());
    CHECK(got.kind == "h264");
    CHECK(got.at == Duration(std::chrono::seconds(5)));
    CHECK(got.bytes == two_units(3, 4));
}

TEST_CASE("a still does not depend on how the bytes are cut, and none is taken after the first", "[property]") {
    Made made;
    made.tables().picture(true, 3000, 1).picture(false, 500, 2).picture(true, 3000, 3).picture(false, 500, 4).picture(true, 10, 5).nulls();
    const Bytes bytes = made.bytes();
    Dice dice(11);
    for (int turn = 0; turn < 40; ++turn) {
        StillCollector collector(ProgramNumber{7});
        for (std::size_t at = 0; at < bytes.size();) {
            const auto size = std::min<std::size_t>(bytes.size() - at, 1 + dice.below(turn % 2 == 0 ? 50 : 2000));
            collector.packets(ByteView(bytes).subspan(at, size), std::nullopt);
            at += size;
        }
        CHECK(collector.done());
        CHECK(collector.material().bytes == two_units(1, 2));
        CHECK_FALSE(collector.material().at);
    }
}

TEST_CASE("a still is of the planned programme, and of what is sent where that is another", "[unit]") {
    const auto sent = [](unsigned first, unsigned second) {
        StreamBuilder s;
        s.section(0, pat_section(1, {{first, kPmt}, {second, kPmt + 8}}));
        s.section(kPmt, pmt_section(first, kVideo, {{0x1B, kVideo, {}}}));
        s.section(kPmt + 8, pmt_section(second, kVideo + 8, {{0x1B, kVideo + 8, {}}}));
        for (int turn = 0; turn < 3; ++turn) {
            s.pes(packet(kVideo), pes_packet(0xE0, 90'000, {}, unit(true, 100, 1)));
            s.pes(packet(kVideo + 8), pes_packet(0xE0, 90'000, {}, unit(true, 100, 2)));
        }
        return s.nulls(10).bytes();
    };
    CHECK(collected(sent(5, 7)).bytes.back() == std::byte{2});
    CHECK(collected(sent(7, 5)).bytes.back() == std::byte{1});
    CHECK(collected(sent(5, 6)).bytes.back() == std::byte{1});
}

TEST_CASE("where there is no still it is said why", "[unit]") {
    CHECK(StillCollector(ProgramNumber{7}).material().lack == "nothing arrived");
    CHECK(collected(Made().picture(true, 1000, 1).nulls().bytes()).lack == "its tables have not come");
    CHECK(collected(StreamBuilder().section(0, pat_section(1, {{7, kPmt}})).nulls(10).bytes()).lack == "its programme is not described");
    CHECK(collected(Made().tables(7, 0x0F).picture(true, 1000, 1).nulls().bytes()).lack == "it has no video");
    CHECK(collected(Made().tables(7, 0x33).picture(true, 1000, 1).nulls().bytes()).lack == "no stills are made of its kind of video, vvc");
    CHECK(collected(Made().tables().picture(false, 1000, 1).nulls().bytes()).lack == "no whole picture that a decoder can begin with has come");
    CHECK(collected(Made().tables().picture(true, 1000, 1).picture(false, 1000, 1).nulls().bytes()).lack ==
          "no whole picture that a decoder can begin with has come");
}

TEST_CASE("nothing is taken of what is scrambled, by the transport or by the PES packet", "[unit]") {
    Made made;
    made.tables().picture(true, 3000, 1).picture(false, 500, 2).picture(false, 500, 3).nulls();
    for (auto& p : made.stream().packets())
        if (p[1] == std::byte{0x41} || p[1] == std::byte{0x01})
            if (p[2] == std::byte{0x01}) p[3] |= std::byte{0x80};
    const auto by_transport = collected(made.bytes());
    CHECK(by_transport.bytes.empty());
    CHECK(by_transport.lack == "scrambled");

    Bytes pes = pes_packet(0xE0, 90'000, {}, unit(true, 1000, 1));
    pes[6] |= std::byte{0x10};
    Made other;
    other.tables();
    for (int turn = 0; turn < 3; ++turn) other.stream().pes(packet(kVideo), pes);
    const auto by_pes = collected(other.nulls().bytes());
    CHECK(by_pes.bytes.empty());
    CHECK(by_pes.lack == "scrambled");
}

TEST_CASE("an access point with a packet lost is passed over for the next", "[unit]") {
    Made made;
    made.tables().picture(true, 3000, 1);
    made.stream().packets().erase(made.stream().packets().begin() + 6);
    made.picture(false, 500, 2).picture(true, 3000, 3).picture(false, 500, 4).picture(false, 500, 5).nulls();
    CHECK(collected(made.bytes()).bytes == two_units(3, 4));
}

TEST_CASE("an access point that bytes are told to be missing from is passed over for the next", "[unit]") {
    const auto first = Made().tables().picture(true, 3000, 1).nulls().bytes();
    const auto second = Made().picture(false, 500, 2).picture(true, 3000, 3).picture(false, 500, 4).picture(false, 500, 5).nulls().bytes();
    StillCollector collector(ProgramNumber{7});
    collector.packets(first, std::nullopt);
    collector.lost();
    collector.packets(second, std::nullopt);
    CHECK(collector.material().bytes == two_units(3, 4));
}

TEST_CASE("what is wrong behind the picture does not take it away", "[unit]") {
    Made made;
    made.tables().picture(true, 3000, 1).picture(false, 500, 2).picture(false, 500, 3).nulls();
    Bytes bytes = made.bytes();
    bytes.resize(bytes.size() + 150);  // sync is lost, and found again
    append(bytes, Made().nulls(20).bytes());
    CHECK(collected(bytes).bytes == two_units(1, 2));
}

TEST_CASE("a picture beyond the bound is not kept, and the next that fits is", "[unit]") {
    Made made;
    made.tables().picture(true, StillCollector::kMostBytes + 1, 1).nulls();
    const auto none = collected(made.bytes());
    CHECK(none.bytes.empty());
    CHECK(none.lack == "its pictures take more than 2 MiB");
    made.picture(true, 3000, 3).picture(false, 500, 4).picture(false, 500, 5).nulls();
    CHECK(collected(made.bytes()).bytes == two_units(3, 4));
}

TEST_CASE("what is observed of a flow is the same with a still and without", "[unit]") {
    Made made;
    for (int turn = 0; turn < 4; ++turn) made.tables().picture(true, 3000, 1).picture(false, 500, 2).nulls(3);
    const Bytes bytes = made.bytes();
    const Destination to{IpAddress::v4(0xEFC00001), {5004}};
    FlowMonitor plain(to), with(to);
    with.want_still(ProgramNumber{7});
    for (std::size_t at = 0, n = 0; at + 1316 <= bytes.size(); at += 1316, ++n) {
        if (n == 3) continue;
        Datagram d;
        d.destination = to.address;
        d.port = to.port;
        d.arrival = std::chrono::milliseconds(n);
        d.payload = ByteView(bytes).subspan(at, 1316);
        plain.datagram(d);
        with.datagram(d);
    }
    CHECK(plain.observe() == with.observe());
    CHECK_FALSE(plain.still());
    REQUIRE(with.still());
    CHECK(with.still()->bytes == two_units(1, 2));
    with.want_still(ProgramNumber{7});
    CHECK(with.still()->bytes.empty());
}

}  // namespace still_collector_test
