// SPDX-License-Identifier: Apache-2.0
// A venue of the RF room's sections and the lineup room's, read from TOML text.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "mastline/signal/make_signal_plan.hpp"
#include "mastline/text/toml_tree.hpp"
#include "mastline/venue/section.hpp"
#include "mastline/venue/venue.hpp"

namespace mastline::test {

struct SignalRoom {
    Venue venue;
    Findings findings;  // of loading
    SignalPlan plan;    // made where loading found no error
    Findings planned;   // findings of the plan

    static std::vector<std::string> lines_of(Findings findings) {
        sort_findings(findings);
        std::vector<std::string> out;
        for (const auto& f : findings) out.push_back(to_line(f));
        return out;
    }
    // Every finding of loading as one line, worst first.
    std::vector<std::string> lines() const { return lines_of(findings); }
    std::vector<std::string> plan_lines() const { return lines_of(planned); }

    // The level of a lane at a conductor of a port; the test fails when it does not come there.
    const PortLevel& at(const std::string& device, const std::string& port, int conductor = 1,
                        const std::string& feed = "", int lane = 0) const {
        for (const auto& level : plan.levels)
            if (level.port == PortRef{device, port} && level.conductor.value == conductor &&
                (feed.empty() || level.lane.feed == feed) &&
                (lane == 0 || level.lane.lane.value == lane))
                return level;
        throw std::runtime_error("nothing comes to " + device + "." + port);
    }
    bool planned_with(std::string_view id) const {
        for (const auto& f : planned)
            if (f.id == id) return true;
        return false;
    }
};

inline void read_section(const Section& section, const tree::Table& root, SignalRoom& room) {
    const auto* entry = tree::find(root, section.key);
    if (entry == nullptr) return;
    if (const auto* table = std::get_if<tree::Table>(&entry->value.held))
        section.read(*table, room.venue, room.findings);
    else if (const auto* list = std::get_if<tree::Array>(&entry->value.held))
        for (const auto& item : *list)
            section.read(std::get<tree::Table>(item.held), room.venue, room.findings);
}

// Loaded without cross-checks of the lineup room: channels are not what these tests are about.
inline SignalRoom loaded_signal_room(std::string_view toml) {
    SignalRoom room;
    const auto tree = parse_toml(toml, "venue.toml", room.findings);
    if (!tree) return room;
    for (const auto& section : lineup_sections()) read_section(section, *tree, room);
    for (const auto& section : signal_sections()) read_section(section, *tree, room);
    check_signal(room.venue, room.findings);
    return room;
}

inline SignalRoom signal_room(std::string_view toml) {
    auto room = loaded_signal_room(toml);
    if (!has_errors(room.findings)) room.plan = make_signal_plan(room.venue, room.planned);
    return room;
}

}  // namespace mastline::test
