// SPDX-License-Identifier: Apache-2.0
// What is bought or fetched from the store: counts of equipment, lengths of cable.
#include <map>

#include "mastline/signal/lists.hpp"
#include "mastline/sheets/sheets.hpp"
#include "planner/sheets/markup.hpp"
#include "planner/sheets/tables.hpp"

namespace mastline {

namespace {

// What the store room holds of a part; none where the venue files do not say.
std::optional<int> stocked(const Stock& stock, const PartLine& part) {
    if (part.kind == "pad") {
        std::optional<int> count;
        for (const auto& pad : stock.pads)
            if (to_text(pad.loss) == part.what) count = count.value_or(0) + pad.count;
        return count;
    }
    if (part.kind == "tap")
        for (const auto& tap : stock.taps)
            if (to_text(tap.tap_loss) == part.what) return tap.count;
    return std::nullopt;
}

Row signal_row(const Venue& venue, const PartLine& part) {
    const auto held = stocked(venue.stock, part);
    Cell store = held ? number_cell(*held, 0) : Cell{};
    if (held && *held < part.count) store.fit = Fit::out;
    return {"",
            {text_cell(part.kind), text_cell(part.what), number_cell(part.count, 0),
             part.length > Length{} ? number_cell(part.length.metres(), 1) : Cell{}, store}};
}

std::string_view state_text(CardState state) {
    return state == CardState::installed ? "card, installed"
           : state == CardState::store   ? "card, in store"
                                         : "card, to buy";
}

void add_head_end(std::vector<Row>& rows, const PlanIndex& index) {
    const Venue& venue = index.venue();
    std::vector<bool> idle_choice(venue.cards.size(), false);  // may be bought, is not needed
    for (std::size_t c = 0; c < venue.cards.size(); ++c)
        idle_choice[c] = venue.cards[c].state == CardState::buy;
    for (const std::size_t c : index.plan().assignment.to_buy) idle_choice[c] = false;
    std::map<std::pair<std::string, std::string>, std::size_t> counts;
    for (std::size_t c = 0; c < venue.cards.size(); ++c)
        if (!idle_choice[c])
            ++counts[{std::string(state_text(venue.cards[c].state)), venue.cards[c].model}];
    for (const auto& chassis : venue.chassis)
        ++counts[{"chassis", counted(static_cast<std::size_t>(chassis.slots), "slot", "slots")}];
    if (!venue.switches.empty()) counts[{"switch", ""}] = venue.switches.size();
    for (const auto& [name, count] : counts)
        rows.push_back(
            {"", {text_cell(name.first), text_cell(name.second), count_cell(count), Cell{}, Cell{}}});
}

}  // namespace

SheetTable parts_table(const PlanIndex& index) {
    SheetTable out{"parts-list",
                   "Parts list",
                   {{"Part"},
                    {"Model or class"},
                    {"Count", "", true},
                    {"Total length", "m", true},
                    {"In stock", "", true}},
                   {},
                   true};
    if (index.plan().signal.choices.size() == index.venue().devices.size())
        for (const auto& part : parts_list(index.venue(), index.plan().signal))
            out.rows.push_back(signal_row(index.venue(), part));
    add_head_end(out.rows, index);
    return out;
}

std::string parts_csv(const Venue& venue, const Plan& plan) {
    return to_csv(parts_table(PlanIndex(venue, plan)));
}

}  // namespace mastline
