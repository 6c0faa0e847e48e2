// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include <cstdlib>

#include "flows.hpp"
#include "tools/rehearse/stream/channel_stream.hpp"

using namespace mastline;
using namespace mastline::test;
using std::chrono::milliseconds;
using std::chrono::seconds;

namespace {

std::vector<Packet> stream(const Expectation& flow, seconds time,
                           const StreamSettings& settings = {}) {
    ChannelStream source(flow, settings);
    return take(source, packets_in(flow.rate, time));
}

// Time from packet to packet of a constant-rate stream.
Duration time_between(std::size_t from, std::size_t to, BitRate rate) {
    return Duration(static_cast<std::int64_t>(to - from) * 188 * 8 * 1'000'000'000 /
                    rate.bits_per_second());
}

struct Gaps {
    Duration least = Duration::max(), most{0};
};

Gaps gaps(const std::vector<std::size_t>& positions, BitRate rate) {
    Gaps out;
    for (std::size_t i = 1; i < positions.size(); ++i) {
        const Duration gap = time_between(positions[i - 1], positions[i], rate);
        out.least = std::min(out.least, gap);
        out.most = std::max(out.most, gap);
    }
    return out;
}

Expectation at_rate(std::int64_t bits_per_second) {
    Expectation flow = bits_per_second < 1'000'000 ? radio() : television();
    flow.rate = BitRate(bits_per_second);
    return flow;
}

}  // namespace

TEST_CASE("every packet of a made stream has its sync byte and a right counter", "[unit]") {
    for (const auto& flow : {television(), radio()}) {
        const auto packets = stream(flow, seconds(5));
        CHECK(std::all_of(packets.begin(), packets.end(),
                          [](const Packet& p) { return read_u8(p, 0) == kSyncByte; }));
        CHECK(continuity_faults(packets) == 0);
    }
}

// TR 101 290, 2.4: PCR accuracy within 500 ns of the constant rate.
TEST_CASE("PCRs lie within half a microsecond of the constant rate", "[unit]") {
    const auto rate =
        GENERATE(std::int64_t{7'654'321}, std::int64_t{500'000}, std::int64_t{38'014'706});
    const Expectation flow = at_rate(rate);
    const auto pcrs = pcrs_of(stream(flow, seconds(20)));
    REQUIRE(pcrs.size() > 500);
    for (const auto& pcr : pcrs) {
        const auto bits = static_cast<std::int64_t>(pcr.packet - pcrs[0].packet) * 188 * 8;
        const double expected = static_cast<double>(bits) * 27e6 / static_cast<double>(rate);
        const double off = static_cast<double>((pcr.value - pcrs[0].value).count()) - expected;
        if (std::abs(off) > 13.5) FAIL("PCR off by " << off << " ticks at packet " << pcr.packet);
    }
}

TEST_CASE("PCRs are at most 40 ms apart at any rate", "[unit]") {
    const auto rate = GENERATE(std::int64_t{250'000}, std::int64_t{500'000},
                               std::int64_t{2'000'000}, std::int64_t{80'000'000});
    const Expectation flow = at_rate(rate);
    REQUIRE(ChannelStream::least_rate(flow).bits_per_second() <= rate);
    const auto pcrs = pcrs_of(stream(flow, seconds(10)));
    for (std::size_t i = 1; i < pcrs.size(); ++i)
        if (pcrs[i].value - pcrs[i - 1].value > milliseconds(40)) FAIL("gap before PCR " << i);
    CHECK(pcrs.size() >= 250);
}

TEST_CASE("PCR and PTS wrap after 26.5 hours and go on", "[unit]") {
    StreamSettings settings;
    settings.clock_at_zero = kPcrWrap - PcrTicks(seconds(1));
    const auto packets = stream(television(), seconds(3), settings);
    const auto pcrs = pcrs_of(packets);
    int wraps = 0;
    for (std::size_t i = 1; i < pcrs.size(); ++i) {
        PcrTicks gap = pcrs[i].value - pcrs[i - 1].value;
        if (gap < PcrTicks(0)) ++wraps, gap += kPcrWrap;
        CHECK(gap < PcrTicks(milliseconds(40)));
    }
    CHECK(wraps == 1);
    const auto starts = starts_of(packets, Pid(257));
    for (std::size_t i = 1; i < starts.size(); ++i) {
        const PtsTicks step = pts_of(packets[starts[i]]) - pts_of(packets[starts[i - 1]]);
        CHECK((step + kPtsWrap) % kPtsWrap == PtsTicks(3600));  // 25 pictures in a second
    }
}

// PAT and PMT at most 100 ms apart (TS 101 154), SDT 2 s, TDT 30 s (TR 101 211); sections of one
// table at least 25 ms apart (EN 300 468, 5.1.4).
TEST_CASE("tables come as often as they must and no oftener than they may", "[unit]") {
    for (const auto& flow : {television(), radio(), at_rate(250'000)}) {
        const auto packets = stream(flow, seconds(40));
        const auto check = [&](Pid pid, Duration most) {
            const Gaps seen = gaps(starts_of(packets, pid), flow.rate);
            CHECK(seen.least >= milliseconds(25));
            CHECK(seen.most <= most);
        };
        check(kPatPid, milliseconds(100));
        check(flow.pmt_pid, milliseconds(100));
        check(kSdtPid, seconds(2));
        check(kTdtPid, seconds(30));
    }
}

TEST_CASE("the TDT tells the time at which it leaves", "[unit]") {
    StreamSettings settings;
    settings.utc_at_zero = std::chrono::sys_days(std::chrono::year{2026} / 3 / 1);
    const auto packets = stream(television(), seconds(21), settings);
    const auto starts = starts_of(packets, kTdtPid);
    REQUIRE(starts.size() == 3);
    for (std::size_t i = 0; i < 3; ++i) {
        std::array<std::byte, 5> expected{};
        write_utc_time(expected, settings.utc_at_zero + seconds(10 * i));
        CHECK(std::equal(expected.begin(), expected.end(), packets[starts[i]].begin() + 8));
    }
}

TEST_CASE("each picture is presented after it has arrived, within a second", "[unit]") {
    const auto packets = stream(television(), seconds(3));
    const auto pcrs = pcrs_of(packets);
    for (const Pid pid : {Pid(257), Pid(258), Pid(259)})
        for (const auto at : starts_of(packets, pid)) {
            const auto bits = static_cast<double>(at) * 188 * 8;
            const double arrival = static_cast<double>(pcrs[0].value.count()) + bits * 27e6 / 8e6;
            const double wait =
                static_cast<double>(PcrTicks(pts_of(packets[at])).count()) - arrival;
            if (wait < 27e6 * 0.040 || wait > 27e6) FAIL("PTS " << wait << " ticks after arrival");
        }
}

TEST_CASE("MPEG-2 video tells decoding a picture before presentation", "[unit]") {
    Expectation flow = television();
    flow.components[0].kind = "mpeg2-video";
    const auto packets = stream(flow, seconds(1));
    const auto starts = starts_of(packets, Pid(257));
    REQUIRE(starts.size() > 20);
    for (const auto at : starts) {
        const std::size_t header = payload_start(packets[at]);
        CHECK(read_u8(packets[at], header + 7) == 0xC0);
        CHECK(pts_of(packets[at]) - read_pes_time(packets[at], header + 14) == PtsTicks(3600));
    }
}

TEST_CASE("video fills the planned rate, null packets hold it", "[unit]") {
    const auto packets = stream(television(), seconds(10));
    const auto share = [&](Pid pid) {
        return static_cast<double>(count_of(packets, pid)) / static_cast<double>(packets.size());
    };
    CHECK(share(Pid(257)) > 0.80);
    CHECK(share(kNullPid) > 0.05);
    CHECK(share(kNullPid) < 0.15);
}

TEST_CASE("PES packets say their length and end where it says", "[unit]") {
    const auto packets = stream(television(), seconds(2));
    for (const Pid pid : {Pid(257), Pid(258), Pid(259)}) {
        std::size_t declared = 0, seen = 0;
        for (const auto& packet : packets) {
            if (pid_of(packet) != pid || !has_payload(packet)) continue;
            const std::size_t start = payload_start(packet);
            if (starts_unit(packet)) {
                CHECK(seen == declared);
                declared = read_u16(packet, start + 4) + 6U;
                seen = 0;
            }
            seen += 188 - start;
        }
    }
}

TEST_CASE("a stream with an end leaves no access unit half sent", "[unit]") {
    StreamSettings settings;
    settings.end = PcrTicks(seconds(2));
    const auto packets = stream(television(), seconds(2), settings);
    const auto starts = starts_of(packets, Pid(257));
    const std::size_t size =
        read_u16(packets[starts.back()], payload_start(packets[starts.back()]) + 4) + 6U;
    std::size_t seen = 0;
    for (std::size_t i = starts.back(); i < packets.size(); ++i)
        if (pid_of(packets[i]) == Pid(257) && has_payload(packets[i]))
            seen += 188 - payload_start(packets[i]);
    CHECK(seen == size);
}

TEST_CASE("a lower rate in a window changes time, not legality", "[unit]") {
    Expectation flow = television();
    StreamSettings settings;
    settings.slow = {PcrTicks(seconds(1)), PcrTicks(seconds(2))};
    settings.slow_rate = BitRate(4'000'000);
    ChannelStream source(flow, settings);
    std::array<std::size_t, 3> in_second{};
    std::vector<Packet> packets;
    while (source.now() < PcrTicks(seconds(3))) {
        ++in_second[static_cast<std::size_t>(std::chrono::floor<seconds>(source.now()).count())];
        packets.push_back(take(source, 1)[0]);
    }
    CHECK(in_second[0] == 5320);  // 8e6 / 1504, rounded up: packets that start within the second
    CHECK(in_second[1] == Approx(2660).margin(1));
    CHECK(in_second[2] == Approx(5319).margin(1));
    CHECK(continuity_faults(packets) == 0);
}

TEST_CASE("the least rate of a flow holds everything but filler", "[unit]") {
    Expectation data = radio();
    data.components = {{Pid(258), "scte35", ""}};
    for (Expectation flow : {television(), radio(), data}) {
        flow.rate = ChannelStream::least_rate(flow);
        CHECK(flow.rate > BitRate(90'000));
        CHECK(flow.rate < BitRate(300'000));
        const auto packets = stream(flow, seconds(60));
        const auto units = starts_of(packets, flow.components[0].pid);
        // The last unit leaves in its time: nothing has piled up.
        const std::size_t expected = flow.components[0].kind == "h264"     ? 1500
                                     : flow.components[0].kind == "scte35" ? 60
                                                                           : 2500;
        CHECK(units.size() >= expected - 1);
        CHECK(continuity_faults(packets) == 0);
        const auto pcrs = pcrs_of(packets);
        for (std::size_t i = 1; i < pcrs.size(); ++i)
            CHECK(pcrs[i].value - pcrs[i - 1].value <= PcrTicks(milliseconds(40)));
    }
}
