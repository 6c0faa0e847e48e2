// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "recording_outlet.hpp"

using namespace mastline;
using namespace mastline::test;
using std::chrono::milliseconds;
using std::chrono::seconds;

namespace {

std::vector<Packet> packets_with(const std::string& fault, seconds time = seconds(3)) {
    return packets_of(rehearse(lineup_of({television()}), {fault}, time));
}

std::vector<Packet> clean(seconds time = seconds(3)) {
    return packets_of(rehearse(lineup_of({television()}), {}, time));
}

// Indexes of packets in which two streams of one length differ.
std::vector<std::size_t> differences(const std::vector<Packet>& a, const std::vector<Packet>& b) {
    REQUIRE(a.size() == b.size());
    std::vector<std::size_t> out;
    for (std::size_t i = 0; i < a.size(); ++i)
        if (a[i] != b[i]) out.push_back(i);
    return out;
}

Duration longest_pcr_gap(const std::vector<Packet>& packets) {
    const auto pcrs = pcrs_of(packets);
    PcrTicks most{0};
    for (std::size_t i = 1; i < pcrs.size(); ++i)
        most = std::max(most, pcrs[i].value - pcrs[i - 1].value);
    return std::chrono::floor<Duration>(most);
}

}  // namespace

TEST_CASE("a continuity fault jumps once per interval and loses no packet", "[unit]") {
    const auto packets = packets_with("101:continuity@500ms+2s,every=1s");
    CHECK(continuity_faults(packets) == 2);
    const auto before = clean();
    for (const auto i : differences(packets, before)) {
        CHECK(pid_of(packets[i]) == Pid(257));
        CHECK(std::equal(packets[i].begin() + 4, packets[i].end(), before[i].begin() + 4));
    }
}

TEST_CASE("a continuity fault keeps to the PID that is named", "[unit]") {
    const auto packets = packets_with("101:continuity,pid=0x102,every=500ms");
    CHECK(continuity_faults(packets) == 5);  // the sixth jump has no packet before it: the first
    for (const auto i : differences(packets, clean())) CHECK(pid_of(packets[i]) == Pid(0x102));
}

TEST_CASE("a PCR gap leaves PCRs at the asked-for interval and nothing else out", "[unit]") {
    const auto packets = packets_with("101:pcr-gap@1s+1s,interval=250ms");
    CHECK(longest_pcr_gap(packets) >= milliseconds(250));
    CHECK(longest_pcr_gap(packets) < milliseconds(290));
    CHECK(continuity_faults(packets) == 0);
    for (const auto i : differences(packets, clean())) CHECK_FALSE(has_pcr(packets[i]));
}

TEST_CASE("PCR jitter moves values by the amount, in turn both ways", "[unit]") {
    const auto moved = pcrs_of(packets_with("101:pcr-jitter,amount=1ms"));
    const auto right = pcrs_of(clean());
    REQUIRE(moved.size() == right.size());
    for (std::size_t i = 0; i < right.size(); ++i)
        CHECK(moved[i].value - right[i].value == PcrTicks(i % 2 == 0 ? -27'000 : 27'000));
}

TEST_CASE("without its PMT a stream still has everything else", "[unit]") {
    const auto packets = packets_with("101:no-pmt@1s+1s");
    const auto starts = starts_of(packets, Pid(256));
    CHECK(starts.size() < starts_of(clean(), Pid(256)).size() * 3 / 4);
    CHECK(count_of(packets, kPatPid) == count_of(clean(), kPatPid));
    CHECK(count_of(packets, Pid(257)) == count_of(clean(), Pid(257)));
}

TEST_CASE("a missing component is by choice the first audio", "[unit]") {
    const auto packets = packets_with("101:no-component");
    CHECK(count_of(packets, Pid(258)) == 0);
    CHECK(count_of(packets, Pid(257)) == count_of(clean(), Pid(257)));
    CHECK(continuity_faults(packets) == 0);
}

TEST_CASE("a missing video leaves its PCR in place", "[unit]") {
    const auto packets = packets_with("101:no-component,pid=257");
    CHECK(std::none_of(packets.begin(), packets.end(),
                       [](const Packet& p) { return pid_of(p) == Pid(257) && has_payload(p); }));
    CHECK(pcrs_of(packets).size() == pcrs_of(clean()).size());
    CHECK(continuity_faults(packets) == 0);
}

TEST_CASE("a scrambled component is marked and unreadable, its headers are not", "[unit]") {
    const auto packets = packets_with("101:scrambled");
    const auto before = clean();
    std::size_t marked = 0;
    for (std::size_t i = 0; i < packets.size(); ++i) {
        const bool scrambled = (read_u8(packets[i], 3) & 0xC0) != 0;
        marked += scrambled ? 1 : 0;
        CHECK(scrambled == (pid_of(packets[i]) == Pid(257) && has_payload(packets[i])));
        if (!scrambled) continue;
        CHECK(counter_of(packets[i]) == counter_of(before[i]));
        CHECK_FALSE(
            std::equal(packets[i].begin() + 100, packets[i].end(), before[i].begin() + 100));
    }
    CHECK(marked > 1000);
    CHECK(pcrs_of(packets).size() == pcrs_of(before).size());
}

TEST_CASE("sync loss spoils runs of sync bytes", "[unit]") {
    const auto packets = packets_with("101:sync-loss@1s,every=1s,count=4");
    std::vector<std::size_t> spoilt;
    for (std::size_t i = 0; i < packets.size(); ++i)
        if (read_u8(packets[i], 0) != kSyncByte) spoilt.push_back(i);
    REQUIRE(spoilt.size() == 8);
    CHECK(spoilt[3] == spoilt[0] + 3);
    CHECK(spoilt[4] > spoilt[3] + 5000);
    CHECK(spoilt[7] == spoilt[4] + 3);
}

TEST_CASE("a fault does nothing outside its window", "[unit]") {
    const auto text = GENERATE(as<std::string>{}, "101:pcr-gap", "101:pcr-jitter", "101:no-pmt",
                               "101:scrambled", "101:sync-loss", "101:no-component");
    const auto packets = packets_with(text + "@1s+1s");
    const auto changed = differences(packets, clean());
    REQUIRE_FALSE(changed.empty());
    // 5319 packets a second; a datagram more or less at the edges.
    CHECK(changed.front() >= 5319 - 7);
    CHECK(changed.back() <= 2 * 5320 + 7);
}
