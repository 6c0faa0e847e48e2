// SPDX-License-Identifier: Apache-2.0
// The parts of a document of sheets: style, bar, sheets with their title blocks. `count` is the number
// of sheets that the set is said to have.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "mastline/sheets/served_page.hpp"
#include "planner/sheets/sheet.hpp"

namespace mastline {

// "not to scale" or "no drawing".
std::string_view to_text(Scale scale);

// Rules for the margins of every printed page, and for those of one sheet: its title block.
std::string page_styles();
std::string page_rule(const Sheet& sheet, std::size_t count, const PlanIndex& index);

// The sheet as an element, and the bar with its tools and the links to all sheets. REQUIRES: `attributes` is empty or
// begins with a space.
std::string section(const Sheet& sheet, std::size_t count, const PlanIndex& index, std::string_view attributes = {});
std::string bar_links(const std::vector<Sheet>& sheets);
std::string bar(const std::string& links, const std::string& venue);

// The whole of it. REQUIRES: `title` is escaped.
std::string document(const std::string& title, const std::string& rules, const std::string& bar,
                     const std::string& sections);
// The same for a server: styles and scripts stand in files of their own (served_files()), what
// a page has of its own bears the nonce; with the parts of the desk.
std::string served_document(const std::string& title, const std::string& rules, const std::string& bar,
                            const std::string& sections, bool is_large, const ServedPage& page);

// Whether a browser takes long to lay out all of these sheets.
bool is_large(std::size_t bytes);

}  // namespace mastline
