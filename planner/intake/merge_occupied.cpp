// SPDX-License-Identifier: Apache-2.0
#include "planner/intake/merge_occupied.hpp"

#include <algorithm>

#include "mastline/text/escape.hpp"
#include "mastline/venue/toml_file.hpp"
#include "mastline/venue/venue.hpp"
#include "planner/intake/toml_edit.hpp"
#include "planner/venue/network_tables.hpp"

namespace mastline {

namespace {

// The [[occupied]] tables at the top of a file, in order.
std::vector<const tree::Table*> occupied_tables(const tree::Table& root) {
    std::vector<const tree::Table*> out;
    const auto* entry = tree::find(root, "occupied");
    const auto* list = entry == nullptr ? nullptr : std::get_if<tree::Array>(&entry->value.held);
    if (list == nullptr) return out;
    for (const auto& item : *list)
        if (const auto* table = std::get_if<tree::Table>(&item.held)) out.push_back(table);
    return out;
}

std::vector<Occupied> occupied_of(const std::vector<const tree::Table*>& tables, Findings& findings) {
    Venue out;
    for (const auto* table : tables) read_occupied(*table, out, findings);
    return std::move(out.occupied);
}

bool holds(const std::vector<Occupied>& all, const GroupSpan& span) {
    return std::any_of(all.begin(), all.end(), [&](const Occupied& o) {
        return overlap(span_of(o.range), span) && o.range.first <= span.first && span.last <= o.range.last;
    });
}

std::vector<std::string> lines_of(const Occupied& occupied) {
    std::vector<std::string> out{"[[occupied]]", "groups = " + toml_string(to_text(span_of(occupied.range)))};
    if (!occupied.what.empty()) out.push_back("what = " + toml_string(occupied.what));
    return out;
}

}  // namespace

MergedOccupied merge_occupied(std::string_view list, const std::string& list_file, std::string_view into,
                              const std::string& into_file, const std::set<Group>& own, Findings& findings) {
    const auto found = read_toml(list, list_file, findings);
    const auto root = read_toml(into, into_file, findings);
    if (!found || !root) return {};
    const auto listed = occupied_tables(*found);
    if (listed.empty())
        findings.push_back({Severity::error, "import.no-occupied", {}, "it has no [[occupied]] tables", {},
                            "give what mastline-probe survey --occupied wrote", {list_file, 1, 1}});
    TomlLines lines(into);
    const auto tables = occupied_tables(*root);
    for (const auto* table : tables)
        if (!has_header(lines, *table))
            findings.push_back({Severity::error, "import.inline-occupied", {},
                                "groups written as { ... } cannot be merged", {},
                                "write them as [[occupied]] tables", table->place});
    auto known = occupied_of(tables, findings);
    const auto fresh = occupied_of(listed, findings);
    if (has_errors(findings)) return {};
    MergedOccupied out;
    std::vector<std::string> below;
    for (const auto& occupied : fresh) {
        const GroupSpan span = span_of(occupied.range);
        if (span.first == span.last && own.contains(span.first)) {
            out.own.push_back(to_text(span));
        } else if (holds(known, span)) {
            ++out.known;
        } else {
            if (!below.empty() || lines.count() > 0) below.emplace_back();
            const auto table = lines_of(occupied);
            below.insert(below.end(), table.begin(), table.end());
            known.push_back(occupied);
            out.added.push_back(to_text(span));
        }
    }
    if (!below.empty())
        lines.insert_below(tables.empty() ? lines.count() : past_remarks(lines, last_line_of(lines, *tables.back())),
                           below);
    out.text = lines.text();
    return out;
}

}  // namespace mastline
