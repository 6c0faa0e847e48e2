// SPDX-License-Identifier: Apache-2.0
// One [[table]] of a TOML text, changed without touching what stands around it.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "mastline/text/tree.hpp"
#include "planner/intake/toml_lines.hpp"

namespace mastline {

// Whether the table stands under a [[header]] of its own, so that it can be changed by lines; else it
// is written as { ... }.
bool has_header(const TomlLines& lines, const tree::Table& table);

// The key becomes a text, or a list of texts where there is more than one. A list of the same length
// is changed item by item; comments inside a value that is replaced come to stand above it. A new key
// goes below the last one of the table. REQUIRES: has_header(); `texts` is not empty
void set_texts(TomlLines& lines, const tree::Table& table, std::string_view key, const std::vector<std::string>& texts);

// Takes the key out; comments beside it stay.
void remove_key(TomlLines& lines, const tree::Table& table, std::string_view key);

// Takes the table out, from its header to its last key; comments above and below it stay.
void remove_table(TomlLines& lines, const tree::Table& table);

// The last line of the table itself, tables inside it apart.
std::size_t last_line_of(const TomlLines& lines, const tree::Table& table);

// As last_line_of(), and past comments right below that belong to the table: unless they stand right
// above the next one.
std::size_t past_remarks(const TomlLines& lines, std::size_t line);

}  // namespace mastline
