// SPDX-License-Identifier: Apache-2.0
// The document set as the page of a server, with what the desk adds: news of the venue's files, their
// faults over the sheets, and the slip on which changes are tried.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "mastline/plan/plan.hpp"

namespace mastline {

// A style or script that the page asks its server for.
struct ServedFile {
    std::string_view name;  // "page.css", beside the page
    std::string_view type;  // "text/css"
    std::string_view text;
};
std::span<const ServedFile> served_files();

// What a page says of itself; letters and digits.
struct ServedPage {
    std::string_view nonce;  // of its style elements, for a policy that says so
    std::string_view base;   // of the files that it was made of, as "desk.json" has it; empty: of none
};

// A sheet as a section element.
struct ServedSheet {
    std::string id, hash;  // the hash is the same when nothing but the revision in its title block differs
    std::string html;
};

// The parts of a page that change with the plan.
struct ServedSet {
    std::string venue, revision;  // plain text
    std::string rules;            // style of the printed margins
    std::string links;            // list items of the bar
    std::vector<ServedSheet> sheets;
    bool is_large = false;        // a browser lays out what is seen only
};
ServedSet make_served_set(const Venue& venue, const Plan& plan);

// The whole set. It asks beside itself for served_files(), "desk.json", "sheets.json" and "events", and
// sends to "try", "try-sheets" and "write".
std::string write_served_page(const ServedSet& set, const ServedPage& page);
// The same before anything could be planned.
std::string write_empty_page(const ServedPage& page);

}  // namespace mastline
