// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include <cmath>

#include "flows.hpp"
#include "tools/rehearse/play/played_stream.hpp"
#include "tools/rehearse/stream/channel_stream.hpp"

using namespace mastline;
using namespace mastline::test;
using std::chrono::milliseconds;
using std::chrono::seconds;

namespace {

using Bytes = std::vector<std::byte>;

// A made stream as a file: bytes before it, and before and behind each packet.
Bytes file_of(const std::vector<Packet>& packets, std::size_t garbage = 0, std::size_t front = 0,
              std::size_t back = 0) {
    Bytes out(garbage);
    for (std::size_t i = 0; i < garbage; i += 5) out[i] = std::byte{0x47};  // these lead nowhere
    for (const auto& packet : packets) {
        out.insert(out.end(), front, std::byte{0x11});
        out.insert(out.end(), packet.begin(), packet.end());
        out.insert(out.end(), back, std::byte{0x22});
    }
    return out;
}

std::vector<Packet> five_seconds(BitRate rate = megabits_per_second(2)) {
    Expectation flow = television();
    flow.rate = rate;
    ChannelStream source(flow, {});
    return take(source, packets_in(rate, seconds(5)));
}

PlayedIndex index_of(const Bytes& file) {
    auto index = index_stream(file);
    if (!index) FAIL(index.error());
    return *index;
}

}  // namespace

TEST_CASE("a file's packets are found whatever their size and whatever comes before", "[unit]") {
    const auto packets = five_seconds();
    const std::size_t garbage = GENERATE(std::size_t{0}, std::size_t{1}, std::size_t{1000});
    CHECK(index_of(file_of(packets, garbage)).first == garbage);
    CHECK(index_of(file_of(packets, garbage, 4)).first == garbage + 4);
    CHECK(index_of(file_of(packets, garbage, 4)).stride == 192);
    CHECK(index_of(file_of(packets, garbage, 0, 16)).stride == 204);
    CHECK(index_of(file_of(packets, garbage, 0, 16)).packets ==
          static_cast<std::int64_t>(packets.size()));
}

TEST_CASE("a file's length is told by its PCR", "[unit]") {
    const PlayedIndex index = index_of(file_of(five_seconds()));
    CHECK(index.clock_pid == Pid(257));
    CHECK(std::abs(std::chrono::duration<double>(index.length).count() - 5.0) < 0.001);
    CHECK(index.clock_length == index.length);
}

TEST_CASE("a played file leaves at its own rate, pass after pass", "[unit]") {
    const auto packets = five_seconds();
    const Bytes file = file_of(packets);
    PlayedStream source(file, index_of(file), PcrTicks(1000));
    CHECK(source.now() == PcrTicks(1000));
    const auto count = 3 * packets.size();
    take(source, count);
    const double expected = 1000 + static_cast<double>(count) * 1504 * 27e6 / 2e6;
    CHECK(std::abs(static_cast<double>(source.now().count()) - expected) < 27);  // 1 us after 15 s
}

TEST_CASE("counters and clock go on over the loop", "[unit]") {
    auto packets = five_seconds();
    packets.resize(packets.size() - 3);  // so that no counter ends at 15 by design
    const Bytes file = file_of(packets);
    PlayedStream source(file, index_of(file), PcrTicks(0));
    const auto played = take(source, packets.size() * 4);
    CHECK(continuity_faults(played) == 0);
    const auto pcrs = pcrs_of(played);
    for (std::size_t i = 0; i < pcrs.size(); ++i) {
        const auto bits = static_cast<double>(pcrs[i].packet - pcrs[0].packet) * 1504;
        const double off =
            static_cast<double>((pcrs[i].value - pcrs[0].value).count()) - bits * 13.5;
        if (std::abs(off) > 13.5)
            FAIL("PCR off by " << off << " ticks at packet " << pcrs[i].packet);
    }
}

TEST_CASE("time stamps move on with the clock", "[unit]") {
    const auto packets = five_seconds();
    const Bytes file = file_of(packets);
    const PlayedIndex index = index_of(file);
    PlayedStream source(file, index, PcrTicks(0));
    const auto first = take(source, packets.size()), second = take(source, packets.size());
    CHECK(first == packets);
    const PtsTicks moved = std::chrono::floor<PtsTicks>(index.clock_length);
    for (const auto at : starts_of(first, Pid(258)))
        CHECK(pts_of(second[at]) - pts_of(first[at]) == moved);
}

TEST_CASE("a fault within a file is sent as it is", "[unit]") {
    auto packets = five_seconds();
    packets.erase(packets.begin() + 3000, packets.begin() + 3003);
    const int faults = continuity_faults(packets);
    REQUIRE(faults > 0);
    const Bytes file = file_of(packets);
    PlayedStream source(file, index_of(file), PcrTicks(0));
    CHECK(continuity_faults(take(source, packets.size() * 3)) == 3 * faults);
}

TEST_CASE("a jump of the clock within a file does not stop it", "[unit]") {
    auto packets = five_seconds();
    for (std::size_t i = packets.size() / 2; i < packets.size(); ++i)
        if (const auto pcr = pcr_of(packets[i]))
            write_pcr(packets[i], *pcr + PcrTicks(std::chrono::hours(2)));
    const PlayedIndex index = index_of(file_of(packets));
    CHECK(std::abs(std::chrono::duration<double>(index.length).count() - 5.0) < 0.001);
    CHECK(index.clock_length - index.length > PcrTicks(std::chrono::minutes(119)));
}

TEST_CASE("a file that cannot be played is refused with what is missing", "[input]") {
    CHECK(index_stream({}).error().starts_with("no transport packets"));
    CHECK(index_stream(Bytes(5000, std::byte{0})).error().starts_with("no transport packets"));
    auto packets = five_seconds();
    std::erase_if(packets, [](const Packet& p) { return has_pcr(p); });
    CHECK(index_stream(file_of(packets)).error() ==
          "0 PCRs that tell no rate; at least two, less than 1 s apart, are needed");
    CHECK(index_stream(file_of({five_seconds()[0], five_seconds()[1]}))
              .error()
              .starts_with("1 PCRs"));
}
