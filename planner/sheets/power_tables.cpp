// SPDX-License-Identifier: Apache-2.0
// Remote power over coax: each supply with what hangs on it, and what goes dark without it.
#include <algorithm>
#include <map>

#include "mastline/sheets/sheets.hpp"
#include "mastline/text/joined.hpp"
#include "planner/sheets/markup.hpp"
#include "planner/sheets/tables.hpp"

namespace mastline {

namespace {

constexpr double kNearShare = 0.1;  // of a supply's limit left over, of a part's least voltage above

double milliamperes(Current current) { return current.amperes() * 1e3; }

Fit fit_of_share(double spare, double of) {
    return spare < 0 ? Fit::out : spare < kNearShare * of ? Fit::near : Fit::good;
}

// "south-dish/1 at 8 card inputs, south-dish/2 at 8 card inputs"
std::string dark_lanes(const PowerSupply& supply) {
    std::map<LaneRef, std::size_t> inputs;
    for (const auto& dark : supply.dark) ++inputs[dark.lane];
    std::string out;
    for (const auto& [lane, count] : inputs)
        out += (out.empty() ? "" : ", ") + to_text(lane) + " at " +
               counted(count, "card input", "card inputs");
    return out.empty() ? "nothing" : out;
}

Row supply_row(const PlanIndex& index, const PowerSupply& supply) {
    const Device* device = index.device(supply.device);
    Cell reserve, share;
    if (supply.limit) {
        const Current spare = *supply.limit - supply.load;
        reserve = number_cell(milliamperes(spare), 0);
        reserve.fit = fit_of_share(spare.amperes(), supply.limit->amperes());
        share = number_cell(100 * spare.amperes() / supply.limit->amperes(), 1);
        share.fit = reserve.fit;
    }
    return {"",
            {link_cell(supply.device, index.picture_id(supply.device)),
             text_cell(device ? device->model : ""), text_cell(device ? device->position : ""),
             number_cell(supply.voltage.volts(), 1), number_cell(milliamperes(supply.load), 0),
             supply.limit ? number_cell(milliamperes(*supply.limit), 0) : Cell{}, reserve, share,
             count_cell(supply.loads.size()), text_cell(dark_lanes(supply)),
             text_cell(supply.dark_channels.empty() ? "none" : joined(supply.dark_channels))}};
}

Row fed_row(const PlanIndex& index, const PowerSupply& supply, const PowerLoad& load) {
    Cell margin;
    if (load.minimum) {
        const double spare = load.voltage.volts() - load.minimum->volts();
        margin = number_cell(spare, 1);
        margin.fit = fit_of_share(spare, load.minimum->volts());
    }
    return {"",
            {link_cell(load.part, index.picture_id(load.port.device)),
             link_cell(supply.device, index.picture_id(supply.device)),
             text_cell(load.port.port), number_cell(load.conductor.value, 0),
             number_cell(milliamperes(load.current), 0), number_cell(load.loop.ohms(), 2),
             number_cell(supply.voltage.volts() - load.voltage.volts(), 2),
             number_cell(load.voltage.volts(), 1),
             load.minimum ? number_cell(load.minimum->volts(), 1) : Cell{}, margin}};
}

}  // namespace

SheetTable supply_table(const PlanIndex& index) {
    SheetTable out{"supply-list",
                   "Power list: supplies, their reserve, and what goes dark when one fails",
                   {{"Supply"},
                    {"Model"},
                    {"Position"},
                    {"Voltage", "V", true},
                    {"Load", "mA", true},
                    {"Limit", "mA", true},
                    {"Reserve", "mA", true},
                    {"Reserve", "%", true},
                    {"Fed parts", "", true},
                    {"Lanes that go dark"},
                    {"Channels that go dark"}},
                   {}};
    for (const auto& supply : index.plan().signal.power)
        out.rows.push_back(supply_row(index, supply));
    return out;
}

SheetTable fed_part_table(const PlanIndex& index) {
    SheetTable out{"fed-list",
                   "Power list: fed parts and the voltage left at each",
                   {{"Fed part"},
                    {"Supply"},
                    {"Port"},
                    {"Lane", "", true},
                    {"Current", "mA", true},
                    {"Loop", "\u03a9", true},
                    {"Drop", "V", true},
                    {"Voltage", "V", true},
                    {"Least needed", "V", true},
                    {"Margin", "V", true}},
                   {}};
    for (const auto& supply : index.plan().signal.power)
        for (const auto& load : supply.loads) out.rows.push_back(fed_row(index, supply, load));
    return out;
}

std::string power_csv(const Venue& venue, const Plan& plan) {
    return to_csv(fed_part_table(PlanIndex(venue, plan)));
}

}  // namespace mastline
