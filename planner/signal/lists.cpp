// SPDX-License-Identifier: Apache-2.0
#include "mastline/signal/lists.hpp"

#include <algorithm>
#include <map>

#include "mastline/venue/device_kinds.hpp"

namespace mastline {

namespace {

// Levels by port and conductor, in the plan's order.
class LevelTable {
public:
    explicit LevelTable(const SignalPlan& plan) {
        for (const auto& level : plan.levels)
            table_[{level.port, level.conductor.value}].push_back(&level);
    }
    const std::vector<const PortLevel*>& at(const PortRef& port, LaneNumber lane) const {
        static const std::vector<const PortLevel*> none;
        const auto it = table_.find({port, lane.value});
        return it == table_.end() ? none : it->second;
    }

private:
    std::map<std::pair<PortRef, int>, std::vector<const PortLevel*>> table_;
};

WiringLine wiring_line(const Run& run, const RunLane& lane, const LevelTable& levels) {
    WiringLine out;
    out.label = run.name;
    if (run.lanes.size() > 1) out.label += " /" + std::to_string(lane.from.value);
    out.from = run.from, out.to = run.to;
    out.from_lane = lane.from, out.to_lane = lane.to;
    out.medium = run.medium;
    out.cable = run.loss ? "" : run.cable;
    out.length = run.length;
    const auto& sent = levels.at(run.from, lane.from);
    for (const auto* level : sent) out.lanes.push_back(level->lane);
    if (!sent.empty()) {
        out.sent_low = sent[0]->low, out.sent_high = sent[0]->high;
        out.optical = sent[0]->optical;
        for (const auto* level : levels.at(run.to, lane.to))
            if (level->lane == sent[0]->lane)
                out.received_low = level->low, out.received_high = level->high;
    }
    return out;
}

// The values of one kind on the lanes of a device; `value` gives each lane's.
template <class F>
void add_per_lane(std::vector<SettingLine>& out, const Device& device, std::size_t lanes,
                  SettingKind kind, bool given, F&& value) {
    for (std::size_t i = 0; i < lanes; ++i)
        out.push_back({device.name, LaneNumber{static_cast<int>(i) + 1}, kind, value(i), given});
}

void add_settings(std::vector<SettingLine>& out, const Venue& venue, const Device& device,
                  const DeviceChoice& choice) {
    const auto& data = device.data;
    const auto& set = device.settings;
    if (data.trim_low || data.trim_high || !set.trim.empty())
        add_per_lane(out, device, choice.trim.size(), SettingKind::trim, !set.trim.empty(),
                     [&](std::size_t i) { return choice.trim[i]; });
    if (data.slope_high || set.slope)
        out.push_back({device.name, {}, SettingKind::slope, choice.slope, set.slope.has_value()});
    add_per_lane(out, device, choice.pads.size(), SettingKind::pad, set.pads_given,
                 [&](std::size_t i) {
                     return choice.pads[i] ? std::optional(choice.pads[i]->loss) : std::nullopt;
                 });
    if (choice.tap)
        out.push_back({device.name, {}, SettingKind::tap, venue.stock.taps[*choice.tap].tap_loss, false});
}

class PartCounter {
public:
    void add(const std::string& kind, const std::string& what, int count, Length length = Length{}) {
        auto& line = lines_[{kind, what}];
        line.kind = kind, line.what = what;
        line.count += count;
        line.length += length;
    }
    std::vector<PartLine> lines() const {
        std::vector<PartLine> out;
        for (const auto& [key, line] : lines_) out.push_back(line);
        return out;
    }

private:
    std::map<std::pair<std::string, std::string>, PartLine> lines_;
};

void count_device(PartCounter& parts, const Venue& venue, const Device& device,
                  const DeviceChoice& choice) {
    const std::string kind(to_text(device.kind));
    for (const auto& pad : choice.pads)
        if (pad) parts.add("pad", to_text(pad->loss), 1);
    if (choice.tap) parts.add("tap", to_text(venue.stock.taps[*choice.tap].tap_loss), 1);
    else if (!choice.pads.empty() && device.data.loss.empty()) return;  // a place, not a part
    else parts.add(kind, device.model.empty() ? kind : device.model, 1);
}

}  // namespace

std::vector<WiringLine> wiring_list(const Venue& venue, const SignalPlan& plan) {
    const LevelTable levels(plan);
    std::vector<WiringLine> out;
    for (const auto& run : venue.runs)
        for (const auto& lane : run.lanes) out.push_back(wiring_line(run, lane, levels));
    return out;
}

std::vector<SettingLine> settings_list(const Venue& venue, const SignalPlan& plan) {
    std::vector<SettingLine> out;
    for (std::size_t d = 0; d < venue.devices.size(); ++d)
        add_settings(out, venue, venue.devices[d], plan.choices[d]);
    return out;
}

std::vector<PartLine> parts_list(const Venue& venue, const SignalPlan& plan) {
    PartCounter parts;
    for (std::size_t d = 0; d < venue.devices.size(); ++d)
        count_device(parts, venue, venue.devices[d], plan.choices[d]);
    for (const auto& run : venue.runs) {
        const auto lanes = static_cast<int>(run.lanes.size());
        parts.add(run.medium == RunMedium::fibre ? "fibre" : "coax", run.cable, lanes,
                  run.length * static_cast<double>(lanes));
    }
    return parts.lines();
}

}  // namespace mastline
