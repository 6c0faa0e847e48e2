// SPDX-License-Identifier: Apache-2.0
// What the checks of many streams hold in memory.
#include <unistd.h>

#include <catch2/catch.hpp>
#include <fstream>

#include "mastline/flow/flow_set.hpp"
#include "support/ts_builder.hpp"

using namespace mastline;
using namespace mastline::test;

namespace {

double resident_megabytes() {
    std::ifstream in("/proc/self/statm");
    double all = 0, resident = 0;
    in >> all >> resident;
    return resident * static_cast<double>(::sysconf(_SC_PAGESIZE)) / 1e6;
}

// Ten programmes with video and sound each, a packet of every PID: a multiplex of 44 PIDs.
Bytes multiplex() {
    PatEntries entries{{0, 0x10}};
    for (unsigned p = 1; p <= 10; ++p) entries.push_back({p, 0x100 * p});
    StreamBuilder s;
    s.section(0, pat_section(5, entries));
    for (unsigned p = 1; p <= 10; ++p) {
        const unsigned pid = 0x100 * p;
        s.section(pid, pmt_section(p, pid + 1, {{2, pid + 1, {}}, {3, pid + 2, {}}}));
        s.pes(packet(pid + 1).pcr(p), pes_packet(0xE0, 90'000, {}, bytes_of("video")));
        s.pes(packet(pid + 2), pes_packet(0xC0, 90'000, {}, bytes_of("sound")));
        s.nulls(4);
    }
    return s.bytes();
}

}  // namespace

TEST_CASE("the checks of 1,000 streams hold less than 256 MB", "[unit]") {
    const Bytes bytes = multiplex();
    FlowSet flows;
    const double before = resident_megabytes();
    for (std::uint32_t flow = 0; flow < 1000; ++flow) {
        Datagram d;
        d.source = IpAddress::v4(0x0A630001);
        d.destination = IpAddress::v4(0xEFC00000 + flow);
        d.port = {5004};
        d.arrival = std::chrono::seconds(1'700'000'000);
        for (std::size_t at = 0; at < bytes.size(); at += 1316, d.arrival += std::chrono::milliseconds(1)) {
            d.payload = ByteView(bytes).subspan(at, std::min<std::size_t>(1316, bytes.size() - at));
            flows.datagram(d);
        }
    }
    const double held = resident_megabytes() - before;
    CHECK(held > 1);  // that something was measured
    CHECK(held < 256);
    const auto seen = flows.observe();
    REQUIRE(seen.size() == 1000);
    REQUIRE(seen.back().stream);
    CHECK(seen.back().stream->programmes.size() == 10);
}
