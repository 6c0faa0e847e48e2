// SPDX-License-Identifier: Apache-2.0
#include <algorithm>

#include "mastline/text/escape.hpp"
#include "planner/sheets/card_use.hpp"
#include "planner/sheets/cautions.hpp"
#include "planner/sheets/lineup_chart.hpp"
#include "planner/sheets/markup.hpp"
#include "planner/sheets/rack_drawing.hpp"
#include "planner/sheets/sheet.hpp"
#include "planner/sheets/tables.hpp"

namespace mastline {

namespace {

std::string card_links(const PlanIndex& index, const std::vector<std::size_t>& cards) {
    std::string out;
    for (const std::size_t c : cards) {
        const std::string& name = index.venue().cards[c].name;
        out += (out.empty() ? "" : ", ") + std::string("<a href=\"#") + index.row_id(name) + "\">" +
               escape_markup(name) + "</a>";
    }
    return out;
}

// Cards that stand idle, are kept for a loss, or have to be bought.
std::string card_lists(const PlanIndex& index) {
    const auto& assignment = index.plan().assignment;
    const auto uses = card_uses(index);
    std::vector<std::size_t> idle;
    for (std::size_t c = 0; c < uses.size(); ++c)
        if (uses[c].channels == 0 && index.venue().cards[c].state != CardState::buy &&
            std::find(assignment.standby.begin(), assignment.standby.end(), c) ==
                assignment.standby.end())
            idle.push_back(c);
    std::string out;
    const auto add = [&](std::string_view name, const std::vector<std::size_t>& cards) {
        out += "<div><dt>" + std::string(name) + "</dt><dd>" +
               (cards.empty() ? "none" : card_links(index, cards)) + "</dd></div>";
    };
    add("Idle cards", idle);
    add("Kept idle for a loss", assignment.standby);
    add("Cards to buy", assignment.to_buy);
    return "<dl class=\"facts\">" + out + "</dl>\n";
}

std::string moves(const PlanIndex& index) {
    const auto table = move_table(index);
    if (table.rows.empty()) return "";
    std::string out = "<p>" + counted(table.rows.size(), "carriage moves", "carriages move") + "; " +
                      (index.plan().assignment.fewest_moves ? "proven the fewest possible"
                                                            : "not proven the fewest possible") +
                      ".";
    for (const auto& finding : index.plan().findings)
        if (finding.id == "assignment.cheaper-with-moves") out += " " + escape_markup(finding.what) + ".";
    return out + "</p>\n" + to_html(table);
}

std::string unplaced(const PlanIndex& index) {
    std::string out;
    for (const std::size_t c : index.plan().assignment.unplaced) {
        const Channel& channel = index.venue().channels[c];
        out += "<li><a href=\"#t-ch-" + std::to_string(c) + "\">" + to_text(channel.number) + " " +
               escape_markup(channel.name) + "</a></li>";
    }
    return out.empty() ? ""
                       : "<h3>Channels without a home</h3><ul class=\"out\">" + out + "</ul>\n";
}

}  // namespace

Sheet card_sheet(const PlanIndex& index) {
    Sheet sheet{"cards", "Cards and lanes", "", Scale::not_to_scale};
    if (index.venue().cards.empty()) {
        sheet.body = "<p>The venue has no cards.</p>\n" + unplaced(index);
        return sheet;
    }
    sheet.body = unplaced(index) + card_lists(index) + "<div class=\"racks\">" +
                 rack_drawing(index) + "</div>\n" + cautions({Work::power});
    const auto proofs = proof_table(index);
    if (!proofs.rows.empty()) sheet.body += to_html(proofs);
    sheet.body += moves(index) + to_html(card_table(index)) + lineup_drawing(index);
    if (!index.venue().carriers.empty()) sheet.body += to_html(carrier_table(index));
    return sheet;
}

}  // namespace mastline
