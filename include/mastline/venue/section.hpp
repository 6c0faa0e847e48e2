// SPDX-License-Identifier: Apache-2.0
// How the rooms of the venue description are put together: each room offers its sections, the
// loader hands each table of each file to the section of its key, then lets every room check what
// it has against the whole.
#pragma once

#include <span>
#include <string_view>
#include <vector>

#include "mastline/findings/finding.hpp"
#include "mastline/text/table_doc.hpp"
#include "mastline/text/tree.hpp"

namespace mastline {

struct Venue;

// One key of the root of a venue file: "feed" for [[feed]], "addressing" for [addressing].
struct VenueSection {
    std::string_view key;
    bool repeated = true;                // [[key]]: any number, over all files; else once in all
    std::vector<const TableDoc*> docs;   // the table's own first, then the tables inside it
    void (*read)(const tree::Table& table, Venue& venue, Findings& findings);
};

// Each room's sections, in the order of the reference page.
std::vector<VenueSection> signal_sections();   // cable, model, feed, carrier, device, run, stock, climate
std::vector<VenueSection> lineup_sections();   // service, input, channel, card_model, chassis, card, protection
std::vector<VenueSection> network_sections();  // addressing, occupied, switch, link, zone

// Cross-references and the rules within each room, once all files are read. They also resolve what
// the files leave to defaults (models, copies).
void check_signal(Venue& venue, Findings& findings);
void check_lineup(Venue& venue, Findings& findings);
void check_network(Venue& venue, Findings& findings);

}  // namespace mastline
