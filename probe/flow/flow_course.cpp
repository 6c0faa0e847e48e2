// SPDX-License-Identifier: Apache-2.0
#include "mastline/flow/flow_course.hpp"

namespace mastline {

namespace {

std::int64_t floor_of(Duration at, Duration width) {
    const auto number = at / width;
    return number * width > at ? number - 1 : number;
}

// Rounded down.
std::int64_t half_of(std::int64_t number) { return (number - (number & 1)) / 2; }

}  // namespace

void FlowCourse::met(const FlowFaults& faults) {
    for (std::size_t i = 0; i < kFlowFaults && !cells_.empty(); ++i) {
        const auto news = faults.counts[i] - before_.counts[i];
        if (news == 0) continue;
        cells_.back().faults += static_cast<std::uint32_t>(news);
        cells_.back().kinds.add(static_cast<FlowFault>(i));
    }
    before_ = faults;
}

void FlowCourse::arrived(Duration at, std::size_t bytes) {
    const bool is_first = cells_.empty();
    if (begins_cell(at)) reach(at);
    CourseCell& cell = cells_.back();
    cell.bytes += bytes;
    if (!is_first) cell.longest_gap = std::max(cell.longest_gap, at - last_);
    last_ = at;
}

// Cells up to the one with this time.
void FlowCourse::reach(Duration at) {
    if (cells_.empty()) first_ = floor_of(at, width_);
    while (floor_of(at, width_) - first_ >= static_cast<std::int64_t>(kCells)) halve();
    const auto last = floor_of(at, width_);
    cells_.resize(static_cast<std::size_t>(last - first_) + 1);
    end_ = (last + 1) * width_;
}

void FlowCourse::halve() {
    std::size_t kept = 0;
    const auto first = half_of(first_);
    for (std::size_t i = 0; i < cells_.size(); ++i) {
        const auto to = static_cast<std::size_t>(half_of(first_ + static_cast<std::int64_t>(i)) - first);
        if (to == kept) cells_[kept++] = cells_[i];
        else cells_[to].add(cells_[i]);
    }
    cells_.resize(kept);
    first_ = first;
    width_ *= 2;
}

CourseObservation FlowCourse::observe(const FlowFaults& faults) const {
    FlowCourse ended(*this);
    ended.met(faults);
    return {first_ * width_, width_, std::move(ended.cells_)};
}

}  // namespace mastline
