// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include <array>

#include "support/damage.hpp"
#include "support/stream_reading.hpp"

using namespace mastline;
using namespace mastline::test;

namespace {

// Half a second of one programme at 4 Mbit/s, with a second of it scrambled on wish.
StreamBuilder programme(int rounds, unsigned scrambling = 0) {
    StreamBuilder s;
    const Bytes sequence = bytes_of({0, 0, 1, 0xB3, 0x2D, 0x02, 0x40, 0x23, 0xFF, 0xFF, 0xE0, 0x18,
                                     0, 0, 1, 0xB5, 0x14, 0x82, 0x00, 0x01, 0x00, 0x00});
    for (int n = 0; n < rounds; ++n) {
        s.section(0, pat_section(5, {{0, 0x10}, {7, 0x100}}));
        s.section(0x100, pmt_section(7, 0x101, {{2, 0x101, {}}}));
        s.section(0x11, sdt_section(5, 0x22, {{7, service_descriptor(1, bytes_of("House"), bytes_of("Arena"))}}));
        const auto ticks = static_cast<std::uint64_t>(n) * 100 * 10'152;
        const std::uint64_t pts = 90'000 + ticks / 300;
        s.pes(packet(0x101).pcr(ticks).scrambling(scrambling), pes_packet(0xE0, pts, {}, sequence));
        s.nulls(96);
    }
    return s;
}

}  // namespace

TEST_CASE("what the tables say is in the observation", "[unit]") {
    const auto o = observe_bytes(programme(10).bytes());
    CHECK(o.time_base == TimeBase::pcr);
    CHECK(o.transport_stream_id == 5);
    CHECK(o.original_network_id == 0x22);
    CHECK(o.network_pid == Pid(0x10));
    REQUIRE(o.programmes.size() == 1);
    const auto& p = o.programmes[0];
    CHECK(p.program_number.value == 7);
    CHECK(p.pmt_pid == Pid(0x100));
    CHECK(p.pcr_pid == Pid(0x101));
    CHECK(p.service->name == "Arena");
    REQUIRE(p.components.size() == 1);
    CHECK(p.components[0].kind == "mpeg2-video");
    CHECK(p.components[0].video->width == 720);
    CHECK(p.first_access_packet == 3);
    CHECK(o.rate == BitRate(4'000'000));
    CHECK(o.packets == 1000);
    CHECK(o.null_packets == 960);
}

TEST_CASE("an access point before the PMT is not one that a display can use", "[unit]") {
    StreamBuilder s = programme(3);
    for (const std::size_t i : {std::size_t{1}, std::size_t{101}}) s.packets()[i] = PacketBuilder{}.build(0xFF);
    const auto o = observe_bytes(s.bytes());
    CHECK(o.programmes.at(0).first_access_packet == 203);
}

TEST_CASE("scrambled components are named and their headers not guessed", "[unit]") {
    const auto o = observe_bytes(programme(10, 2).bytes());
    CHECK(o.programmes.at(0).scrambled);
    CHECK(o.programmes[0].components[0].scrambled);
    CHECK_FALSE(o.programmes[0].components[0].video);
    CHECK_FALSE(o.programmes[0].first_access_packet);
    CHECK(indicator(o, "2.6")->found.count == 1);
    CHECK_FALSE(indicator(o, "2.5")->judged);
}

TEST_CASE("every indicator is there in official order, and absence is a reason, not a pass", "[unit]") {
    const auto o = observe_bytes(StreamBuilder().nulls(50).bytes());
    REQUIRE(o.indicators.size() == 33);
    CHECK(o.indicators.front().name == "TS_sync_loss");
    CHECK(o.indicators.back().name == "Data_delay_error");
    CHECK(indicator(o, "1.4")->judged);
    for (const char* number : {"1.3.a", "1.5.a", "1.6", "2.3a", "2.4", "2.5", "3.1", "3.3", "3.5", "3.9"}) {
        CAPTURE(number);
        CHECK_FALSE(indicator(o, number)->judged);
        CHECK_FALSE(indicator(o, number)->reason.empty());
    }
    CHECK(observe_bytes({}).indicators.at(0).reason == "no transport packet was found");
}

TEST_CASE("an observation can be asked for at any time and changes nothing", "[property]") {
    const Bytes bytes = programme(20).bytes();
    StreamMonitor asked;
    for (std::size_t at = 0; at < bytes.size(); at += 1316) {
        asked.packets(ByteView(bytes).subspan(at, std::min<std::size_t>(1316, bytes.size() - at)), std::nullopt);
        (void)asked.observe();
    }
    CHECK(asked.observe() == observe_bytes(bytes));
}

TEST_CASE("a new PMT version replaces the components", "[unit]") {
    StreamBuilder s = programme(4);
    s.section(0x100, pmt_section(7, 0x101, {{2, 0x101, {}}, {3, 0x102, {}}}, 1)).nulls(5);
    const auto o = observe_bytes(s.bytes());
    CHECK(o.programmes.at(0).components.size() == 2);
    CHECK(o.programmes[0].pmt_version == 1);
    const auto table = std::find_if(o.tables.begin(), o.tables.end(), [](auto& t) { return t.table_id == 2; });
    CHECK(table->version_changes == 1);
}

TEST_CASE("a table announced for later is not applied", "[unit]") {
    SectionBuilder next{.table_id = 0, .extension = 5, .version = 1, .current = false};
    append_u16(next.body, 9);
    append_u16(next.body, 0xE200);
    StreamBuilder s = programme(3);
    s.section(0, next.build()).nulls(5);
    const auto o = observe_bytes(s.bytes());
    REQUIRE(o.programmes.size() == 1);
    CHECK(o.programmes[0].program_number.value == 7);
}

TEST_CASE("a PAT of two sections is put together", "[unit]") {
    StreamBuilder s;
    for (int n = 0; n < 3; ++n)
        for (unsigned k = 0; k < 2; ++k) {
            SectionBuilder part{.table_id = 0, .extension = 5, .number = k, .last_number = 1};
            append_u16(part.body, k + 1);
            append_u16(part.body, 0xE100U + k);
            s.section(0, part.build()).nulls(3);
        }
    const auto o = observe_bytes(s.bytes());
    CHECK(o.programmes.size() == 2);
    CHECK(o.tables.at(0).complete);
    CHECK(o.tables[0].sections == 6);
}

TEST_CASE("a service that an SDT no longer lists is no longer described", "[unit]") {
    // EN 300 468, 5.1.1: a sub-table of a new version takes the place of the one before.
    const auto names = [](const StreamBuilder& s) {
        std::vector<std::string> out;
        for (const auto& p : observe_bytes(s.bytes()).programmes) out.push_back(p.service ? p.service->name : "none");
        return out;
    };
    const auto part = [](unsigned version, unsigned number, unsigned last, const char* name, unsigned service) {
        SectionBuilder s{.table_id = 0x42, .extension = 5, .version = version, .number = number, .last_number = last};
        const Bytes described = service_descriptor(1, {}, bytes_of(name));
        append(s.body, bytes_of({0, 0x22, 0xFF, 0, static_cast<int>(service), 0xFC, 0x80, static_cast<int>(described.size())}));
        append(s.body, described);
        return s.build();
    };
    StreamBuilder s;
    s.section(0, pat_section(5, {{1, 0x100}, {2, 0x110}})).nulls(5);
    s.section(0x11, part(0, 0, 1, "First", 1)).section(0x11, part(0, 1, 1, "Second", 2)).nulls(5);
    CHECK(names(s) == std::vector<std::string>{"First", "Second"});
    s.section(0x11, part(1, 0, 1, "Renamed", 1)).nulls(5);
    CHECK(names(s) == std::vector<std::string>{"Renamed", "Second"});
    s.section(0x11, part(2, 0, 0, "Alone", 1)).nulls(5);
    CHECK(names(s) == std::vector<std::string>{"Alone", "none"});
    s.section(0x11, part(3, 0, 0, "Other", 9)).nulls(5);
    CHECK(names(s) == std::vector<std::string>{"none", "none"});
}

TEST_CASE("a table of a slow stream is as late as it was sent, not as its datagram makes it", "[unit]") {
    // 13 ms a packet, 91 ms a datagram of seven. TR 101 290 nos. 1.3 and 1.5: at least every 0.5 s.
    const auto faults = [](unsigned between) {
        StreamBuilder s;
        for (unsigned n = 0; n < 1197; ++n) {
            if (n % between == 0) s.section(0, pat_section(5, {{7, 0x100}}));
            else if (n % between == 1) s.section(0x100, pmt_section(7, 0x101, {{3, 0x101, {}}}));
            else if (n % 3 == 0) s.add(packet(0x101).pcr(std::uint64_t{n} * 13 * 27'000).adaptation_only());
            else s.nulls();
        }
        const auto o = observe_stamped(s.bytes(), std::chrono::milliseconds(13));
        return std::array{indicator(o, "1.3")->found.count, indicator(o, "1.3.a")->found.count,
                          indicator(o, "1.5")->found.count, indicator(o, "1.5.a")->found.count};
    };
    CHECK(faults(37) == std::array<std::uint64_t, 4>{0, 0, 0, 0});      // 481 ms, by arrival up to 546
    // 520 ms, by arrival also 455, 29 times; the first begins before PCRs have told how long packets take.
    CHECK(faults(40) == std::array<std::uint64_t, 4>{28, 28, 28, 28});
}

TEST_CASE("nothing is overdue for the time that a loss of our own took", "[unit]") {
    StreamBuilder s;
    for (int i = 0; i < 20; ++i) s.section(0, pat_section(5, {{7, 0x100}})).section(0x100, pmt_section(7, 0x101, {{3, 0x101, {}}})).nulls(5);
    for (const auto whose : {Loss::own, Loss::before_us}) {
        StreamMonitor monitor;
        for (std::size_t i = 0; i < 20; ++i) {
            if (i == 10) monitor.lost(whose);
            const auto at = std::chrono::milliseconds(100 * i) + std::chrono::seconds(i < 10 ? 1 : 7);
            monitor.packets(ByteView(s.bytes()).subspan(i * 7 * 188, 7 * 188), at);
        }
        const auto o = monitor.observe();
        for (const char* number : {"1.3.a", "1.5.a"}) CHECK(indicator(o, number)->found.count == (whose == Loss::own ? 0 : 1));
    }
}

TEST_CASE("rates come from arrival where no PCR tells", "[unit]") {
    // 700 packets, 7 per datagram, 376 us per packet: 4 Mbit/s.
    const auto o = observe_stamped(StreamBuilder().nulls(700).bytes(), std::chrono::microseconds(376));
    CHECK(o.time_base == TimeBase::arrival);
    REQUIRE(o.arrival_rate);
    CHECK(o.arrival_rate->bits_per_second() == 4'000'000);
    CHECK(o.rate == o.arrival_rate);
}
