// SPDX-License-Identifier: Apache-2.0
#include "planner/sheets/rack_drawing.hpp"

#include <algorithm>

#include "mastline/text/escape.hpp"
#include "planner/sheets/card_use.hpp"
#include "planner/sheets/markup.hpp"

namespace mastline {

namespace {

constexpr double kWidth = 460, kSlotHeight = 46, kEar = 16, kBar = 96;

// "licences 9/12" with a bar that is full at the limit; beyond it the text says so.
std::string use_bar(double x, double y, const std::string& name, std::size_t used,
                    std::size_t limit) {
    const double share = limit == 0 ? 0 : static_cast<double>(used) / static_cast<double>(limit);
    std::string text = name + " " + std::to_string(used) + "/" + std::to_string(limit);
    if (used > limit) text += " OVER";
    return svg_text(x, y, used > limit ? "out" : "", text) + "<rect class=\"track\" x=\"" +
           coordinate(x) + "\" y=\"" + coordinate(y + 4) + "\" width=\"" + coordinate(kBar) +
           "\" height=\"6\"/><rect class=\"fill\" x=\"" + coordinate(x) + "\" y=\"" +
           coordinate(y + 4) + "\" width=\"" + coordinate(kBar * std::min(share, 1.0)) +
           "\" height=\"6\"/>";
}

std::string draw_card(const PlanIndex& index, const Card& card, const CardUse& use, double y) {
    const CardModel* model = index.model_of(card);
    const double x = kEar + 34;
    std::string out = "<g id=\"" + index.picture_id(card.name) + "\"><rect class=\"box\" x=\"" +
                      coordinate(x) + "\" y=\"" + coordinate(y + 3) + "\" width=\"" +
                      coordinate(kWidth - kEar - x - 4) + "\" height=\"" +
                      coordinate(kSlotHeight - 6) + "\"/><a href=\"#" + index.row_id(card.name) +
                      "\">" + svg_text(x + 8, y + 19, "t", shortened(card.name, 22)) + "</a>" +
                      svg_text(x + 8, y + 34, "s", shortened(card.model, 24));
    out +=
        use_bar(x + 168, y + 19, "licences", use.channels, static_cast<std::size_t>(card.licences));
    if (model != nullptr && model->kind == CardKind::tuner)
        out += use_bar(x + 284, y + 19, "tuners", use.carriers.size(),
                       static_cast<std::size_t>(model->tuners));
    return out + "</g>\n";
}

// `at[i]` is the card in slot i + 1, or the number of cards where the slot is empty.
std::string draw_chassis(const PlanIndex& index, const std::vector<CardUse>& uses,
                         const std::string& caption, const std::vector<std::size_t>& at) {
    const double height = kSlotHeight * static_cast<double>(at.size()) + 8;
    std::string out = "<figure class=\"rack\"><figcaption>" + escape_markup(caption) +
                      "</figcaption><svg viewBox=\"0 0 " + coordinate(kWidth) + " " +
                      coordinate(height) + "\" width=\"" + coordinate(kWidth) + "\" height=\"" +
                      coordinate(height) + "\" role=\"group\" aria-label=\"" +
                      escape_markup(caption) + "\"><rect class=\"frame\" x=\"1\" y=\"1\" width=\"" +
                      coordinate(kWidth - 2) + "\" height=\"" + coordinate(height - 2) + "\"/>\n";
    for (std::size_t slot = 0; slot < at.size(); ++slot) {
        const double y = 4 + kSlotHeight * static_cast<double>(slot);
        out += svg_text(kEar + 24, y + 27, "e", std::to_string(slot + 1));
        if (at[slot] < uses.size())
            out += draw_card(index, index.venue().cards[at[slot]], uses[at[slot]], y);
        else
            out += "<rect class=\"blank\" x=\"" + coordinate(kEar + 34) + "\" y=\"" +
                   coordinate(y + 3) + "\" width=\"" + coordinate(kWidth - 2 * kEar - 38) +
                   "\" height=\"" + coordinate(kSlotHeight - 6) + "\"/>" +
                   svg_text(kEar + 42, y + 27, "s", "empty");
    }
    return out + "</svg></figure>\n";
}

// Cards with a slot of their own first; the others into the free slots in order, as a plan would.
std::vector<std::size_t> slots_of(const Venue& venue, const Chassis& chassis) {
    std::vector<std::size_t> at(static_cast<std::size_t>(std::max(chassis.slots, 1)),
                                venue.cards.size());
    std::vector<std::size_t> floating;
    for (std::size_t c = 0; c < venue.cards.size(); ++c) {
        const Card& card = venue.cards[c];
        if (card.chassis != chassis.name) continue;
        const auto slot = static_cast<std::size_t>(card.slot);
        if (card.slot >= 1 && slot <= at.size() && at[slot - 1] == venue.cards.size())
            at[slot - 1] = c;
        else
            floating.push_back(c);
    }
    for (const std::size_t c : floating) {
        const auto free = std::find(at.begin(), at.end(), venue.cards.size());
        if (free == at.end())
            at.push_back(c);
        else
            *free = c;
    }
    return at;
}

}  // namespace

std::string rack_drawing(const PlanIndex& index) {
    const Venue& venue = index.venue();
    const auto uses = card_uses(index);
    std::string out;
    for (const auto& chassis : venue.chassis) {
        std::string caption = "Chassis " + chassis.name + ", " +
                              counted(static_cast<std::size_t>(chassis.slots), "slot", "slots");
        if (chassis.licences) caption += ", licensed for " + std::to_string(*chassis.licences);
        if (chassis.output_limit) caption += ", output at most " + to_text(*chassis.output_limit);
        out += draw_chassis(index, uses, caption, slots_of(venue, chassis));
    }
    std::vector<std::size_t> alone;
    for (std::size_t c = 0; c < venue.cards.size(); ++c)
        if (venue.cards[c].chassis.empty()) alone.push_back(c);
    if (!alone.empty()) out += draw_chassis(index, uses, "Cards that stand alone", alone);
    return out;
}

}  // namespace mastline
