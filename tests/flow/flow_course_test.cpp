// SPDX-License-Identifier: Apache-2.0
#include "mastline/flow/flow_course.hpp"

#include "mastline/flow/flow_monitor.hpp"

using namespace mastline;
using namespace std::chrono_literals;

namespace flow_course_test {

namespace {

// A datagram of 1000 bytes each 10 ms from `from` on.
void feed(FlowCourse& course, Duration from, int count) {
    for (int i = 0; i < count; ++i) course.arrived(from + i * 10ms, 1000);
}

std::uint64_t sum_of(const CourseObservation& c) {
    std::uint64_t out = 0;
    for (const auto& cell : c.cells) out += cell.bytes;
    return out;
}

}  // namespace

TEST_CASE("a flow over time has its rate, its silences and its faults where they were", "[unit]") {
    FlowCourse course;
    FlowFaults faults;
    feed(course, 1000ms, 50);  // to 1490 ms
    faults[FlowFault::loss] = 2;
    CHECK(course.begins_cell(1500ms));
    course.met(faults);
    feed(course, 2100ms, 15);  // to 2240 ms
    faults[FlowFault::continuity] = 1;
    const auto seen = course.observe(faults);
    CHECK(seen.start == 1000ms);
    CHECK(seen.width == 250ms);
    REQUIRE(seen.cells.size() == 5);
    CHECK(seen.cells[0].bytes == 25'000);
    CHECK(seen.rate(0) == BitRate(800'000));
    CHECK(seen.cells[1].faults == 2);
    CHECK(seen.cells[1].kinds.has(FlowFault::loss));
    CHECK(!seen.cells[1].kinds.has(FlowFault::continuity));
    CHECK(seen.cells[2].bytes == 0);
    CHECK(seen.cells[3].bytes == 0);
    CHECK(seen.cells[4].longest_gap == 610ms);
    CHECK(seen.cells[4].kinds.has(FlowFault::continuity));
    CHECK(seen.cells[0].longest_gap == 10ms);
}

TEST_CASE("a long watch has wider cells and loses nothing", "[unit]") {
    FlowCourse course;
    FlowFaults faults;
    feed(course, 1250ms, 100);
    faults[FlowFault::sync] = 3;
    course.met(faults);
    for (int minute = 1; minute <= 600; ++minute) course.arrived(minute * 60s, 188);
    const auto seen = course.observe(faults);
    CHECK(seen.cells.size() <= FlowCourse::kCells);
    CHECK(seen.cells.size() > FlowCourse::kCells / 2);
    CHECK(sum_of(seen) == 100'000 + 600 * 188);
    CHECK(seen.cells[0].faults == 3);
    CHECK(seen.start % seen.width == Duration{});
    CHECK(seen.start <= 1250ms);
    CHECK(seen.start + seen.width * static_cast<int>(seen.cells.size()) > 600 * 60s);
    // One silence of years ends it in a few steps.
    course.arrived(600 * 60s + std::chrono::hours(24 * 365 * 30), 188);
    CHECK(sum_of(course.observe(faults)) == 100'000 + 601 * 188);
}

TEST_CASE("a datagram that is stamped earlier counts in the cell at hand, and times before the epoch are times", "[unit]") {
    FlowCourse course;
    course.arrived(-300ms, 1);
    course.arrived(-600ms, 2);
    course.arrived(10ms, 4);
    const auto seen = course.observe({});
    CHECK(seen.start == -500ms);
    REQUIRE(seen.cells.size() == 3);
    CHECK(seen.cells[0].bytes == 3);
    CHECK(seen.cells[2].bytes == 4);
}

TEST_CASE("a monitor keeps the course of its main source where it is asked to", "[unit]") {
    std::vector<std::byte> packet(188, std::byte{0xFF});
    packet[0] = std::byte{0x47}, packet[1] = std::byte{0x1F}, packet[3] = std::byte{0x10};  // null packets
    for (const bool asked : {false, true}) {
        FlowOptions options;
        options.over_time = asked;
        FlowMonitor monitor({}, options);
        for (int i = 0; i < 300; ++i) {
            Datagram d;
            d.payload = packet;
            d.arrival = i * 10ms + (i >= 150 ? 1s : 0s);
            d.stamped = true;
            monitor.datagram(d);
        }
        const auto seen = monitor.observe();
        REQUIRE(seen.course.has_value() == asked);
        if (!asked) continue;
        REQUIRE(seen.course->cells.size() == 16);  // to 3.99 s
        CHECK(seen.course->cells[0].bytes == 25 * 188);
        CHECK(seen.course->cells[7].bytes == 0);
        CHECK(seen.course->cells[10].longest_gap == 1010ms);
        CHECK(seen.course->cells[10].kinds.has(FlowFault::steady));
        // Seconds end at 1.0 and 2.5 s and with a datagram each 10 ms their delay factor is seen there.
        CHECK(seen.course->cells[10].delay_factor > Duration{});
        CHECK(seen.course->cells[5].delay_factor == Duration{});
    }
}

}  // namespace flow_course_test
