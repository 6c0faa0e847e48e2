// SPDX-License-Identifier: Apache-2.0
#include "planner/sheets/lane_path.hpp"

#include <algorithm>
#include <map>

namespace mastline {

namespace {

const PortLevel* level_of(const PlanIndex& index, const PortRef& port, const LaneRef& lane) {
    for (const auto* level : index.levels(port))
        if (level->lane == lane) return level;
    return nullptr;
}

// The level at the other end of the run that brings the lane to this port.
const PortLevel* before_run(const PlanIndex& index, const PortLevel& at) {
    for (const std::size_t r : index.runs_into(at.port)) {
        const Run& run = index.venue().runs[r];
        const bool carries = std::any_of(run.lanes.begin(), run.lanes.end(),
                                         [&](const RunLane& l) { return l.to == at.conductor; });
        if (!carries) continue;
        if (const auto* level = level_of(index, run.from, at.lane)) return level;
    }
    return nullptr;
}

// The level at the port of the same device by which the lane came in.
const PortLevel* before_device(const PlanIndex& index, const PortLevel& at) {
    const Device* device = index.device(at.port.device);
    if (device == nullptr) return nullptr;
    for (const auto& path : device->paths) {
        if (path.to != at.port.port) continue;
        if (const auto* level = level_of(index, {device->name, path.from}, at.lane)) return level;
    }
    return nullptr;
}

}  // namespace

LanePath lane_path(const PlanIndex& index, const LaneRef& lane, const PortRef& input) {
    LanePath out{lane, input, {}};
    const std::size_t longest = 2 * (index.venue().devices.size() + 2);
    const PortLevel* at = level_of(index, input, lane);
    while (at != nullptr && out.points.size() < longest) {
        out.points.push_back(at);
        const PortLevel* source = before_run(index, *at);
        if (source == nullptr) break;
        out.points.push_back(source);
        at = before_device(index, *source);
    }
    std::reverse(out.points.begin(), out.points.end());
    return out;
}

std::vector<LanePath> tightest_paths(const PlanIndex& index) {
    std::map<LaneRef, std::pair<Gain, PortRef>> tightest;
    for (const auto& reach : index.plan().signal.reach)
        for (const auto& lane : reach.lanes) {
            const auto [it, is_new] = tightest.try_emplace(lane.lane, lane.margin, reach.input);
            if (!is_new && lane.margin < it->second.first) it->second = {lane.margin, reach.input};
        }
    std::vector<LanePath> out;
    for (const auto& feed : index.venue().feeds)
        for (const auto& feed_lane : feed.lanes) {
            const LaneRef lane{feed.name, feed_lane.lane};
            const auto found = tightest.find(lane);
            out.push_back(found == tightest.end() ? LanePath{lane, {}, {}}
                                                  : lane_path(index, lane, found->second.second));
        }
    return out;
}

}  // namespace mastline
