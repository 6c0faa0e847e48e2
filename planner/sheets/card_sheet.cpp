// SPDX-License-Identifier: Apache-2.0
#include "mastline/text/escape.hpp"
#include "planner/sheets/cautions.hpp"
#include "planner/sheets/rack_drawing.hpp"
#include "planner/sheets/sheet.hpp"
#include "planner/sheets/tables.hpp"

namespace mastline {

namespace {

std::string proofs(const Assignment& assignment) {
    std::string out;
    for (const auto& proof : assignment.proofs) {
        out += "<li><b>" + std::to_string(proof.cards) + " used, at least " +
               std::to_string(proof.lower_bound) + " needed" +
               (proof.proven ? " (proven least)" : " (not proven least)") + ".</b> " +
               escape_markup(proof.why) + "</li>";
    }
    return out.empty() ? "" : "<h3>Why this many cards</h3><ul>" + out + "</ul>\n";
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
    sheet.body = unplaced(index) + "<div class=\"racks\">" + rack_drawing(index) + "</div>\n" +
                 cautions({Work::power}) + to_html(card_table(index)) +
                 proofs(index.plan().assignment);
    if (!index.venue().carriers.empty()) sheet.body += to_html(carrier_table(index));
    return sheet;
}

}  // namespace mastline
