// SPDX-License-Identifier: Apache-2.0
// What is done and signed on the night, in order.
#include "mastline/text/escape.hpp"
#include "planner/sheets/cautions.hpp"
#include "planner/sheets/markup.hpp"
#include "planner/sheets/sheet.hpp"

namespace mastline {

namespace {

// Steps are numbered through over all parts, so that one can be called by its number.
class Checklist {
public:
    void part(std::string_view title) {
        close();
        out_ += "<h3>" + std::string(title) +
                "</h3><div class=\"scroll\" role=\"region\" tabindex=\"0\" aria-label=\"" +
                std::string(title) + "\"><table class=\"check\"><thead><tr><th scope=\"col\">No.</th><th "
                "scope=\"col\">Step"
                "</th><th scope=\"col\">Done</th><th scope=\"col\">Time</th><th "
                "scope=\"col\">Initials</th>"
                "<th scope=\"col\">Remark</th></tr></thead><tbody>\n";
        open_ = true;
    }
    void step(std::string_view text) {
        out_ +=
            "<tr><td>" + std::to_string(++number_) + "</td><td>" + escape_markup(text) +
            "</td><td class=\"tick\"><span aria-label=\"to tick\" role=\"img\">\u2610</span></td>"
            "<td></td><td></td><td></td></tr>\n";
    }
    std::string finish() {
        close();
        return std::move(out_);
    }

private:
    void close() {
        if (open_) out_ += "</tbody></table></div>\n";
        open_ = false;
    }
    std::string out_;
    int number_ = 0;
    bool open_ = false;
};

void before(Checklist& list, const PlanIndex& index) {
    list.part("Before the night");
    list.step("The revision in the title block is the one agreed; every other set is withdrawn");
    if (has_errors(index.plan().findings))
        list.step("Errors on the findings sheet are cured and the plan is drawn again");
    list.step("The network owner has agreed to the addresses, loads and limits of these sheets");
    list.step("The way back is written down, and the time after which it is taken");
    list.step("The present state is measured and kept, so that before and after can be compared");
}

void signal(Checklist& list, const Venue& venue) {
    if (venue.feeds.empty()) return;
    list.part("Roof and signal path");
    for (const auto& feed : venue.feeds)
        list.step("Feed " + feed.name + ": " + counted(feed.lanes.size(), "lane", "lanes") +
                  " in order, levels at the first test point within the expected range");
    list.step("Trims, slope, pads and taps set as the settings list says");
    list.step("Every test point read; readings entered and compared with the plan");
    list.step("Cables labelled at both ends");
}

void cards(Checklist& list, const PlanIndex& index) {
    if (index.venue().cards.empty()) return;
    list.part("Cards");
    const auto& homes = index.plan().assignment.homes;
    std::vector<std::size_t> channels(index.venue().cards.size(), 0), silent = channels;
    for (const auto& home : homes)
        if (home.card < channels.size()) ++channels[home.card];
    for (const auto& carriage : index.plan().addressing.silent) ++silent[homes[carriage.home].card];
    for (std::size_t c = 0; c < channels.size(); ++c) {
        const Card& card = index.venue().cards[c];
        if (channels[c] == 0) continue;
        std::string step = "Card " + card.name;
        if (!card.chassis.empty()) step += " in chassis " + card.chassis;
        if (card.slot > 0) step += " slot " + std::to_string(card.slot);
        list.step(step + ": licences present, " + counted(channels[c], "channel", "channels") +
                  " set with group, port, TTL and DSCP" +
                  (silent[c] > 0 ? ", " + std::to_string(silent[c]) + " of them silent until their first card is lost" : ""));
    }
    if (!index.plan().addressing.silent.empty())
        list.step("The loss of a card tried with one: its protected channels go on from the cards that were silent, and no "
                  "group has two senders when it is back");
}

void network(Checklist& list, const Venue& venue) {
    if (venue.switches.empty()) return;
    list.part("Network");
    for (const auto& sw : venue.switches)
        if (sw.querier)
            list.step("Switch " + sw.name + ": querier on, version and timers as agreed");
    list.step("Snooping on where the sheets say so: " +
              counted(venue.switches.size(), "switch", "switches") + " checked");
    list.step("No group of the address sheet is heard before the cards send");
    list.step("Every group verified at a display's port by the probe against this plan");
}

void displays(Checklist& list, const Venue& venue) {
    if (venue.zones.empty()) return;
    list.part("Displays");
    for (const auto& zone : venue.zones)
        list.step("Zone " + zone.name + ": " +
                  counted(static_cast<std::size_t>(zone.displays), "display", "displays") +
                  " on their default channels, sound and picture seen");
    list.step("Fast channel changes on several displays at once: no break elsewhere");
}

constexpr std::string_view kSignatures =
    "<h3>Signatures</h3><div class=\"scroll\" role=\"region\" tabindex=\"0\" "
    "aria-label=\"Signatures\"><table class=\"check sign\"><thead><tr><th scope=\"col\">For</th>"
    "<th scope=\"col\">Name</th><th scope=\"col\">Signature</th><th scope=\"col\">Date and "
    "time</th></tr>"
    "</thead><tbody><tr><th scope=\"row\">Video distribution</th><td></td><td></td><td></td></tr>"
    "<tr><th scope=\"row\">Network</th><td></td><td></td><td></td></tr>"
    "<tr><th scope=\"row\">Venue</th><td></td><td></td><td></td></tr></tbody></table></div>\n";

}  // namespace

Sheet cutover_sheet(const PlanIndex& index) {
    Checklist list;
    before(list, index);
    signal(list, index.venue());
    cards(list, index);
    network(list, index.venue());
    displays(list, index.venue());
    return {"cutover", "Cutover checklist",
            cautions({Work::roof, Work::power, Work::fibre, Work::coax}) + list.finish() +
                std::string(kSignatures),
            Scale::none};
}

}  // namespace mastline
