// SPDX-License-Identifier: Apache-2.0
#include <array>

#include "planner/venue/copies.hpp"
#include "planner/venue/facts.hpp"
#include "planner/venue/key_docs.hpp"
#include "planner/venue/signal_tables.hpp"

namespace mastline {

namespace {

constexpr std::array<KeyDoc, 7> kDeviceOwn{{
    {"name", "text", true, "How runs refer to it. Copies are \"name-1\" to \"name-N\", or have their "
     "number where the name has {}."},
    {"model", "text", false, "Name of its [[model]]. What the device says itself goes first."},
    {"position", "text", false, "Where it stands, in words."},
    {"count", "whole number", false, "Copies of it, 1 to 1000; default 1."},
    {"trim", "list of gain", false, "Trim as set, one for all lanes or one per lane. Where the model "
     "has a range and this is absent, the planner finds it; so it does the next two: with the greatest "
     "worst-case margin of all windows that they move, no amplifier overdriven and no card input too "
     "sloped, then with the fewest pads."},
    {"slope", "gain", false, "Slope as set; absent: found."},
    {"pads", "list of text", false, "Pads as fitted in a pad place, one for all lanes or one per "
     "lane: \"6 dB\" or \"none\". Absent: found among the stocked pads, at most one per lane."},
}};
constexpr auto kDeviceKeys = joined(kDeviceOwn, kFactKeys);

std::vector<std::optional<Gain>> read_pads(TableReader& reader) {
    std::vector<std::optional<Gain>> out;
    for (const auto& [text, place] : reader.texts("pads")) {
        if (text == "none") {
            out.emplace_back();
            continue;
        }
        const auto loss = parse_gain(text);
        if (loss && *loss >= Gain::db(0)) out.emplace_back(*loss);
        else
            reader.fault("file.bad-quantity", place,
                         "'pads': " + (loss ? "\"" + text + "\" is below 0 dB" : loss.error().message),
                         "write the pad's loss, or \"none\"");
    }
    return out;
}

}  // namespace

const TableDoc kDeviceDoc{"[[device]]", "A piece of equipment, or several alike.", kDeviceKeys};

void read_device(const tree::Table& table, Venue& venue, Findings& findings) {
    TableReader r(table, kDeviceDoc, findings);
    Device device;
    device.place = r.place();
    const auto name = r.text("name").value_or("");
    device.model = r.text("model").value_or("");
    device.position = r.text("position").value_or("");
    const int count = static_cast<int>(r.integer("count", 1, 1000).value_or(1));
    device.settings.trim = r.quantities<Gain>("trim");
    device.settings.slope = r.quantity_at_least<Gain>("slope", Gain::db(0));
    device.settings.pads_given = r.has("pads");
    device.settings.pads = read_pads(r);
    device.data = read_facts(r, findings);
    if (name.find('.') != std::string::npos)
        r.fault("device.bad-name", r.place_of("name"), "device name '" + name + "' has a dot",
                "use letters, digits and hyphens; the dot stands between device and port");
    for (int i = 1; i <= count && !name.empty(); ++i) {
        device.name = copy_name(name, i, count);
        venue.devices.push_back(device);
    }
}

}  // namespace mastline
