// SPDX-License-Identifier: Apache-2.0
#include "mastline/venue/csv_tables.hpp"

#include <algorithm>

#include "mastline/text/did_you_mean.hpp"
#include "mastline/venue/channel_csv.hpp"
#include "planner/venue/file_fault.hpp"

namespace mastline {

namespace {

// "Apart from" is "apart_from".
std::string key_of(const std::string& header) {
    std::string out = header;
    for (char& c : out) {
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
        if (c == ' ' || c == '-') c = '_';
    }
    return out;
}

// The key of each column; empty for a column that is not read.
std::vector<std::string> header_keys(const CsvRow& header, std::span<const KeyDoc> docs,
                                     Findings& findings) {
    std::vector<std::string_view> known;
    for (const auto& doc : docs) known.push_back(doc.name);
    std::vector<std::string> keys;
    for (const auto& field : header.fields) {
        std::string key = key_of(field.text);
        if (!key.empty() && std::find(known.begin(), known.end(), key) == known.end()) {
            fault(findings, "file.unknown-column", field.place, "unknown column '" + field.text + "'",
                  suggestion(key, known));
            key.clear();
        } else if (!key.empty() && std::find(keys.begin(), keys.end(), key) != keys.end()) {
            fault(findings, "file.duplicate-column", field.place,
                  "column '" + field.text + "' stands twice", "leave one out");
            key.clear();
        }
        keys.push_back(std::move(key));
    }
    return keys;
}

tree::Table row_table(const CsvRow& row, const std::vector<std::string>& keys, Findings& findings) {
    tree::Table table;
    table.place = row.place;
    for (std::size_t i = 0; i < row.fields.size(); ++i) {
        const auto& field = row.fields[i];
        if (i >= keys.size() && !field.text.empty())
            fault(findings, "file.surplus-field", field.place,
                  "the row has a field '" + field.text + "' beyond the last column",
                  "the header has " + std::to_string(keys.size()) +
                      " columns; quote a field that holds the separator");
        if (i >= keys.size() || keys[i].empty()) continue;
        table.entries.push_back({keys[i], field.place, {field.text, field.place, true}});
    }
    std::sort(table.entries.begin(), table.entries.end(),
              [](const tree::Entry& a, const tree::Entry& b) { return a.key < b.key; });
    return table;
}

}  // namespace

std::vector<tree::Table> read_csv_tables(std::string_view text, const std::string& file,
                                         const CsvListName& name, std::span<const KeyDoc> docs,
                                         Findings& findings) {
    std::vector<tree::Table> out;
    const auto rows = read_csv(text, file, findings);
    if (rows.empty()) {
        fault(findings, "file.empty-list", {file, 1, 1}, name.noun + " is empty",
              "its first row names the columns: " + name.header);
        return out;
    }
    const auto keys = header_keys(rows.front(), docs, findings);
    for (std::size_t i = 1; i < rows.size(); ++i) out.push_back(row_table(rows[i], keys, findings));
    return out;
}

}  // namespace mastline
