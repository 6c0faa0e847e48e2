// SPDX-License-Identifier: Apache-2.0
// A tree of values that know their place: what TOML files and CSV rows are turned into before any
// reader looks at them, so that readers know neither the TOML library nor CSV.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "mastline/findings/place.hpp"

namespace mastline::tree {

struct Value;
using Array = std::vector<Value>;

struct Entry;

// A date or time: TOML knows them, our files do not use them.
struct DateTime {};

// Keys in alphabetical order; a key stands once.
struct Table {
    std::vector<Entry> entries;
    Place place;
};

struct Value {
    // A text from a CSV cell (from_csv) may hold a number where one is asked for.
    std::variant<std::string, std::int64_t, double, bool, Array, Table, DateTime> held;
    Place place;
    bool from_csv = false;
};

struct Entry {
    std::string key;
    Place key_place;
    Value value;
};

inline const Entry* find(const Table& table, std::string_view key) {
    for (const auto& entry : table.entries)
        if (entry.key == key) return &entry;
    return nullptr;
}

inline std::string_view kind_name(const Value& value) {
    static constexpr std::string_view names[] = {"a text",  "a whole number", "a number",
                                                 "true or false", "a list",   "a table",
                                                 "a date"};
    return names[value.held.index()];
}

}  // namespace mastline::tree
