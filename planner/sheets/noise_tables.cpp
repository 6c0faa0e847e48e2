// SPDX-License-Identifier: Apache-2.0
// Carrier-to-noise ratios at card inputs, and how far amplifiers are driven.
#include <map>

#include "mastline/sheets/sheets.hpp"
#include "planner/sheets/tables.hpp"

namespace mastline {

namespace {

Cell margin_cell(const std::optional<Gain>& margin) {
    Cell out = margin ? number_cell(margin->db(), 1) : Cell{};
    out.fit = fit_of(margin);
    return out;
}

std::vector<Cell> noise_cells(const PlanIndex& index, const CarrierNoise& noise) {
    return {text_cell(noise.carrier), link_cell(to_text(noise.lane), index.picture_id(noise.lane.feed)),
            link_cell(to_text(noise.input), index.row_id(noise.input.device)),
            number_cell(noise.carrier_to_noise.db(), 1),
            noise.threshold ? number_cell(noise.threshold->db(), 1) : Cell{},
            margin_cell(noise.margin)};
}

const std::vector<Column> kNoiseColumns{{"Carrier"},
                                        {"Lane"},
                                        {"Card input"},
                                        {"C/N", "dB", true},
                                        {"Threshold", "dB", true},
                                        {"Margin", "dB", true}};

}  // namespace

SheetTable noise_table(const PlanIndex& index) {
    SheetTable out{"noise-list", "Carrier-to-noise ratio at every card input", kNoiseColumns, {}};
    for (const auto& noise : index.plan().signal.noise)
        out.rows.push_back({"", noise_cells(index, noise)});
    return out;
}

SheetTable worst_noise_table(const PlanIndex& index) {
    SheetTable out{"noise-worst",
                   "Carrier-to-noise ratio of each carrier at the card input where it is least",
                   kNoiseColumns,
                   {},
                   true};
    out.columns.push_back({"Card inputs", "", true});
    struct Worst {
        const CarrierNoise* noise = nullptr;
        std::size_t inputs = 0;
    };
    std::map<std::pair<LaneRef, std::string>, Worst> worst;
    for (const auto& noise : index.plan().signal.noise) {
        auto& at = worst[{noise.lane, noise.carrier}];
        ++at.inputs;
        if (at.noise == nullptr || noise.carrier_to_noise < at.noise->carrier_to_noise)
            at.noise = &noise;
    }
    for (const auto& [key, at] : worst) {
        Row row{"", noise_cells(index, *at.noise)};
        row.cells.push_back(count_cell(at.inputs));
        out.rows.push_back(std::move(row));
    }
    return out;
}

SheetTable amplifier_table(const PlanIndex& index) {
    SheetTable out{"amplifier-list",
                   "Amplifiers: greatest output against what the number of carriers allows",
                   {{"Output"},
                    {"Lane", "", true},
                    {"Carriers", "", true},
                    {"Total power", "dBm", true},
                    {"Greatest carrier, worst case", "dBm", true},
                    {"Allowed", "dBm", true},
                    {"Margin", "dB", true}},
                   {}};
    for (const auto& load : index.plan().signal.amplifiers)
        out.rows.push_back(
            {"",
             {link_cell(to_text(load.output), index.picture_id(load.output.device)),
              number_cell(load.conductor.value, 0), number_cell(load.carriers, 0),
              number_cell(load.total_power.dbm(), 1), number_cell(load.highest.dbm(), 1),
              number_cell(load.limit.dbm(), 1), margin_cell(load.margin)}});
    return out;
}

SheetTable user_band_table(const PlanIndex& index) {
    SheetTable out{"user-band-list",
                   "User bands of single-cable outputs",
                   {{"Output"}, {"Slot", "", true}, {"Centre", "MHz", true}, {"Card input"}},
                   {},
                   true};
    for (const auto& use : index.plan().signal.user_bands)
        out.rows.push_back({"",
                            {link_cell(to_text(use.output), index.picture_id(use.output.device)),
                             number_cell(use.slot, 0), number_cell(megahertz(use.centre), 1),
                             link_cell(to_text(use.input), index.row_id(use.input.device))}});
    return out;
}

}  // namespace mastline
