// SPDX-License-Identifier: Apache-2.0
#include "mastline/sheets/sheets.hpp"
#include "mastline/text/escape.hpp"
#include "planner/sheets/rate_cell.hpp"
#include "planner/sheets/sheet.hpp"
#include "planner/sheets/tables.hpp"

namespace mastline {

namespace {

// "PMT 256; 512 h264; 513 aac eng": the PCR is named only where it has a PID of its own.
std::string pid_list(const Expectation& flow) {
    std::string out = "PMT " + std::to_string(flow.pmt_pid.value());
    bool pcr_is_component = false;
    for (const auto& component : flow.components) {
        pcr_is_component = pcr_is_component || component.pid == flow.pcr_pid;
        out += "; " + std::to_string(component.pid.value()) + " " + component.kind;
        if (!component.language.empty()) out += " " + component.language;
        if (component.pid == flow.pcr_pid) out += " +PCR";
    }
    if (!pcr_is_component) out += "; PCR " + std::to_string(flow.pcr_pid.value());
    return out;
}

// Where it comes from: lane and carrier of a service, the house input otherwise.
std::vector<Cell> source_cells(const PlanIndex& index, const Carriage& carriage) {
    const Channel& channel = *carriage.channel;
    if (channel.service.empty()) return {Cell{}, Cell{}, text_cell(channel.input)};
    if (carriage.home == nullptr || !carriage.home->carrier)
        return {Cell{}, Cell{}, text_cell(channel.service)};
    const Carrier& carrier = index.venue().carriers[*carriage.home->carrier];
    return {link_cell(to_text(LaneRef{carrier.feed, carrier.lane}), index.picture_id(carrier.feed)),
            text_cell(carrier.name), text_cell(channel.service)};
}

std::vector<Cell> home_cells(const PlanIndex& index, const Carriage& carriage) {
    if (carriage.home == nullptr || carriage.home->card >= index.venue().cards.size()) {
        Cell none = text_cell("no home");
        none.fit = Fit::out;
        return {none, Cell{}, Cell{}};
    }
    const Card& card = index.venue().cards[carriage.home->card];
    return {link_cell(card.name, index.picture_id(card.name)),
            card.slot > 0 ? number_cell(card.slot, 0) : Cell{},
            carriage.home->encoder_input ? number_cell(*carriage.home->encoder_input, 0)
                                         : text_cell(carriage.home->input)};
}

Row channel_row(const PlanIndex& index, const Carriage& carriage, std::size_t number) {
    const Channel& channel = *carriage.channel;
    Row row{carriage.copy == 1 ? "t-ch-" + std::to_string(carriage.index) : "",
            {channel_cell(channel.number), text_cell(channel.name),
             text_cell(std::string(to_text(channel.picture))), text_cell(channel.genre)}};
    for (auto& cell : source_cells(index, carriage)) row.cells.push_back(std::move(cell));
    row.cells.push_back(text_cell(channel.is_protected ? "yes" : ""));
    row.cells.push_back(number_cell(carriage.copy, 0));
    for (auto& cell : home_cells(index, carriage)) row.cells.push_back(std::move(cell));
    const auto* address = carriage.address;
    row.cells.push_back(
        address ? link_cell(to_text(address->flow.group), "t-flow-" + std::to_string(number))
                : Cell{});
    row.cells.push_back(address ? number_cell(address->flow.port.number, 0) : Cell{});
    const auto* flow = carriage.expectation;
    row.cells.push_back(flow ? number_cell(flow->program_number.value, 0) : Cell{});
    row.cells.push_back(flow ? text_cell(pid_list(*flow)) : Cell{});
    row.cells.push_back(flow ? number_cell(megabits(flow->rate), 3) : Cell{});
    return row;
}

}  // namespace

SheetTable channel_table(const PlanIndex& index) {
    SheetTable out{"channel-map",
                   "Channel map",
                   {{"Number"},
                    {"Name"},
                    {"Class"},
                    {"Genre"},
                    {"Lane"},
                    {"Carrier"},
                    {"Service or input"},
                    {"Protected"},
                    {"Copy", "", true},
                    {"Card"},
                    {"Slot", "", true},
                    {"Card input"},
                    {"Group"},
                    {"Port", "", true},
                    {"Programme", "", true},
                    {"PIDs"},
                    {"Rate", "Mbit/s", true}},
                   {}};
    const auto carriages = index.carriages();
    for (std::size_t i = 0; i < carriages.size(); ++i)
        out.rows.push_back(channel_row(index, carriages[i], i));
    return out;
}

Sheet channel_sheet(const PlanIndex& index) {
    Sheet sheet{"channels", "Channel map", "", Scale::none};
    sheet.body = index.venue().channels.empty() ? "<p>The venue has no channels.</p>\n"
                                                : to_html(channel_table(index));
    return sheet;
}

Sheet guide_sheet(const PlanIndex& index) {
    Sheet sheet{"guide", "Guide for staff", "", Scale::none};
    std::string items;
    for (const auto& channel : index.venue().channels)
        items += "<li><b>" + to_text(channel.number) + "</b> <span>" + escape_markup(channel.name) +
                 "</span></li>\n";
    sheet.body = items.empty() ? "<p>The venue has no channels.</p>\n"
                               : "<ul class=\"guide\">" + items + "</ul>\n";
    return sheet;
}

std::string channels_csv(const Venue& venue, const Plan& plan) {
    return to_csv(channel_table(PlanIndex(venue, plan)));
}

}  // namespace mastline
