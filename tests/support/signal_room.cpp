// SPDX-License-Identifier: Apache-2.0
#include "support/signal_room.hpp"

#include <stdexcept>

#include "mastline/text/toml_tree.hpp"
#include "mastline/venue/section.hpp"

namespace mastline::test {

SignalRoom::SignalRoom() = default;
SignalRoom::SignalRoom(SignalRoom&&) noexcept = default;
SignalRoom& SignalRoom::operator=(SignalRoom&&) noexcept = default;
SignalRoom::~SignalRoom() = default;

std::vector<std::string> SignalRoom::lines_of(Findings findings) {
    sort_findings(findings);
    std::vector<std::string> out;
    for (const auto& f : findings) out.push_back(to_line(f));
    return out;
}

const PortLevel& SignalRoom::at(const std::string& device, const std::string& port, int conductor,
                                const std::string& feed, int lane) const {
    for (const auto& level : plan.levels)
        if (level.port == PortRef{device, port} && level.conductor.value == conductor &&
            (feed.empty() || level.lane.feed == feed) && (lane == 0 || level.lane.lane.value == lane))
            return level;
    throw std::runtime_error("nothing comes to " + device + "." + port);
}

bool SignalRoom::planned_with(std::string_view id) const {
    for (const auto& f : planned)
        if (f.id == id) return true;
    return false;
}

namespace {

void read_section(const VenueSection& section, const tree::Table& root, SignalRoom& room) {
    const auto* entry = tree::find(root, section.key);
    if (entry == nullptr) return;
    if (const auto* table = std::get_if<tree::Table>(&entry->value.held))
        section.read(*table, room.venue, room.findings);
    else if (const auto* list = std::get_if<tree::Array>(&entry->value.held))
        for (const auto& item : *list)
            section.read(std::get<tree::Table>(item.held), room.venue, room.findings);
}

}  // namespace

SignalRoom loaded_signal_room(std::string_view toml) {
    SignalRoom room;
    const auto tree = parse_toml(toml, "venue.toml", room.findings);
    if (!tree) return room;
    for (const auto& section : lineup_sections()) read_section(section, *tree, room);
    for (const auto& section : signal_sections()) read_section(section, *tree, room);
    check_signal(room.venue, room.findings);
    return room;
}

SignalRoom signal_room(std::string_view toml) {
    auto room = loaded_signal_room(toml);
    if (!has_errors(room.findings)) room.plan = make_signal_plan(room.venue, room.planned);
    return room;
}

}  // namespace mastline::test
