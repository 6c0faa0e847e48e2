// SPDX-License-Identifier: Apache-2.0
// How a flow went over time, in memory of fixed size: when its cells do not reach any further, two become one.
#pragma once

#include <algorithm>
#include <cstdint>
#include <vector>

#include "mastline/flow/flow_recorder.hpp"
#include "mastline/units/bit_rate.hpp"
#include "mastline/units/ticks.hpp"

namespace mastline {

// A set of faults, by bit.
class FaultKinds {
public:
    void add(FlowFault kind) { bits_ |= static_cast<std::uint16_t>(1U << static_cast<unsigned>(kind)); }
    void add(FaultKinds others) { bits_ |= others.bits_; }
    bool has(FlowFault kind) const { return (bits_ >> static_cast<unsigned>(kind) & 1U) != 0; }
    bool any() const { return bits_ != 0; }
    bool operator==(const FaultKinds&) const = default;

private:
    std::uint16_t bits_ = 0;
};

// What arrived in one stretch of time.
struct CourseCell {
    std::uint64_t bytes = 0;      // of UDP payload; 0: nothing was heard
    Duration longest_gap{};       // between two arrivals, the second of them here
    Duration delay_factor{};      // RFC 4445; the greatest that was told here, 0 for none
    std::uint32_t faults = 0;     // of all kinds together
    FaultKinds kinds;
    void add(const CourseCell& other) {
        bytes += other.bytes;
        longest_gap = std::max(longest_gap, other.longest_gap);
        delay_factor = std::max(delay_factor, other.delay_factor);
        faults += other.faults;
        kinds.add(other.kinds);
    }
    bool operator==(const CourseCell&) const = default;
};

struct CourseObservation {
    Duration start{};               // of the first cell; a whole number of widths since the epoch
    Duration width{};               // of each cell
    std::vector<CourseCell> cells;  // the first and the last are not whole
    BitRate rate(std::size_t cell) const {
        return BitRate(static_cast<std::int64_t>(static_cast<double>(cells[cell].bytes) * 8e9 / static_cast<double>(width.count())));
    }
    bool operator==(const CourseObservation&) const = default;
};

// Cells begin at whole numbers of widths since the epoch, so that those of several flows lie beside each other.
class FlowCourse {
public:
    static constexpr std::size_t kCells = 120;
    static constexpr Duration kFinest = std::chrono::milliseconds(250);

    FlowCourse() { cells_.reserve(kCells); }

    // Whether a datagram that arrives then is the first of a cell: tell met() before it is checked.
    bool begins_cell(Duration at) const { return cells_.empty() || at >= end_; }
    // All faults so far; what is new belongs to the last cell.
    void met(const FlowFaults& faults);
    // A datagram arrived. An earlier time than that of the last cell counts there.
    void arrived(Duration at, std::size_t bytes);
    void told(Duration delay_factor) { cells_.back().delay_factor = std::max(cells_.back().delay_factor, delay_factor); }

    // With all faults so far.
    CourseObservation observe(const FlowFaults& faults) const;

private:
    void reach(Duration at);
    void halve();

    Duration width_ = kFinest;
    Duration end_{};             // of the last cell
    Duration last_{};            // arrival
    std::int64_t first_ = 0;     // number of the first cell: its start divided by the width
    std::vector<CourseCell> cells_;
    FlowFaults before_;
};

}  // namespace mastline
