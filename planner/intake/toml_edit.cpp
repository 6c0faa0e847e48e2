// SPDX-License-Identifier: Apache-2.0
#include "planner/intake/toml_edit.hpp"

#include <algorithm>

#include "mastline/text/escape.hpp"

namespace mastline {

namespace {

std::string_view without_indent(std::string_view line) {
    const auto first = line.find_first_not_of(" \t");
    return first == std::string_view::npos ? std::string_view() : line.substr(first);
}

std::string indent_of(std::string_view line) {
    return std::string(line.substr(0, line.size() - without_indent(line).size()));
}

bool is_blank(const TomlLines& lines, std::size_t line) {
    return line == 0 || line > lines.count() || without_indent(lines.line(line)).empty();
}

// Not a table with a header of its own further down.
bool is_direct(const TomlLines& lines, const tree::Entry& entry) {
    return !without_indent(lines.line(entry.key_place.line)).starts_with('[');
}

// Keys with dots are tables whose keys stand on lines of their own.
std::size_t last_line_of_entries(const TomlLines& lines, const std::vector<tree::Entry>& entries) {
    std::size_t last = 0;
    for (const auto& entry : entries) {
        if (!is_direct(lines, entry)) continue;
        const Place& at = entry.value.place;
        last = std::max(last, lines.end_of_value(at.line, at.column).line);
        if (const auto* inner = std::get_if<tree::Table>(&entry.value.held))
            last = std::max(last, last_line_of_entries(lines, inner->entries));
    }
    return last;
}

// As the files write one or several texts.
std::string literal(const std::vector<std::string>& texts) {
    if (texts.size() == 1) return toml_string(texts.front());
    std::string out;
    for (const auto& text : texts) out += (out.empty() ? "[" : ", ") + toml_string(text);
    return out + "]";
}

bool says(const tree::Value& value, const std::string& text) {
    const auto* held = std::get_if<std::string>(&value.held);
    return held != nullptr && *held == text;
}

void insert_above(TomlLines& lines, std::size_t line, std::vector<std::string> comments) {
    const std::string indent = indent_of(lines.line(line));
    for (auto& comment : comments) comment.insert(0, indent);
    lines.insert_below(line - 1, comments);
}

void replace_items(TomlLines& lines, const tree::Array& items, const std::vector<std::string>& texts) {
    // From the last to the first, so that the places of the others stay true.
    for (std::size_t i = texts.size(); i-- > 0;)
        if (!says(items[i], texts[i]))
            lines.replace_value(items[i].place.line, items[i].place.column, toml_string(texts[i]));
}

void replace_whole(TomlLines& lines, const tree::Entry& entry, const std::vector<std::string>& texts) {
    const Place& at = entry.value.place;
    const auto comments = lines.comments_within(at.line, at.column);
    lines.replace_value(at.line, at.column, literal(texts));
    insert_above(lines, entry.key_place.line, comments);
}

}  // namespace

bool has_header(const TomlLines& lines, const tree::Table& table) {
    return table.place.line > 0 && table.place.line <= lines.count() &&
           without_indent(lines.line(table.place.line)).starts_with('[');
}

std::size_t last_line_of(const TomlLines& lines, const tree::Table& table) {
    return std::max<std::size_t>(table.place.line, last_line_of_entries(lines, table.entries));
}

std::size_t past_remarks(const TomlLines& lines, std::size_t line) {
    std::size_t to = line;
    while (to < lines.count() && lines.line(to + 1).starts_with('#')) ++to;
    const bool of_the_next = to < lines.count() && lines.line(to + 1).starts_with('[');
    return of_the_next ? line : to;
}

void set_texts(TomlLines& lines, const tree::Table& table, std::string_view key,
               const std::vector<std::string>& texts) {
    const auto* entry = tree::find(table, key);
    if (entry == nullptr) {
        const std::size_t last = last_line_of(lines, table);
        lines.insert_below(last, {indent_of(lines.line(last)) + std::string(key) + " = " + literal(texts)});
        return;
    }
    const auto* items = std::get_if<tree::Array>(&entry->value.held);
    if (items != nullptr && items->size() == texts.size()) return replace_items(lines, *items, texts);
    if (texts.size() != 1 || !says(entry->value, texts.front())) replace_whole(lines, *entry, texts);
}

void remove_key(TomlLines& lines, const tree::Table& table, std::string_view key) {
    const auto* entry = tree::find(table, key);
    if (entry == nullptr) return;
    const Place& at = entry->value.place;
    const auto end = lines.end_of_value(at.line, at.column);
    auto kept = lines.comments_within(at.line, at.column);
    const auto tail = without_indent(lines.line(end.line).substr(end.offset));
    if (!tail.empty()) kept.emplace_back(tail);
    insert_above(lines, entry->key_place.line, kept);
    lines.erase(entry->key_place.line + kept.size(), end.line + kept.size());
}

void remove_table(TomlLines& lines, const tree::Table& table) {
    const std::size_t first = table.place.line;
    lines.erase(first, last_line_of(lines, table));
    // One of the blank lines that stood around it goes with it.
    if (is_blank(lines, first - 1) && is_blank(lines, first) && lines.count() > 0)
        lines.erase(std::min(first, lines.count()), std::min(first, lines.count()));
}

}  // namespace mastline
