// SPDX-License-Identifier: Apache-2.0
// TOML text into a tree of values with places. Includes the TOML library: include it from .cpp
// files that read files, never from a header.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>

#include <toml++/toml.h>

#include "mastline/findings/finding.hpp"
#include "mastline/text/toml_quotes.hpp"
#include "mastline/text/tree.hpp"

namespace mastline {

namespace detail {

inline Place toml_place(const toml::source_region& source, const std::string& file) {
    return {file, source.begin.line, source.begin.column};
}

inline tree::Value toml_value(const toml::node& node, const std::string& file);

inline tree::Table toml_table(const toml::table& table, const std::string& file) {
    tree::Table out;
    out.place = toml_place(table.source(), file);
    for (const auto& [key, node] : table)
        out.entries.push_back(
            {std::string(key.str()), toml_place(key.source(), file), toml_value(node, file)});
    return out;
}

inline tree::Value toml_value(const toml::node& node, const std::string& file) {
    tree::Value out;
    out.place = toml_place(node.source(), file);
    if (const auto* t = node.as_table()) {
        out.held = toml_table(*t, file);
    } else if (const auto* a = node.as_array()) {
        tree::Array list;
        for (const auto& item : *a) list.push_back(toml_value(item, file));
        out.held = std::move(list);
    } else if (const auto s = node.value_exact<std::string>()) {
        out.held = *s;
    } else if (const auto i = node.value_exact<std::int64_t>()) {
        out.held = *i;
    } else if (const auto d = node.value_exact<double>()) {
        out.held = *d;
    } else if (const auto b = node.value_exact<bool>()) {
        out.held = *b;
    } else {  // dates and times: no key of our files is one, so every reader reports them
        out.held = tree::DateTime{};
    }
    return out;
}

}  // namespace detail

// None and one finding when the text is not TOML. `file` is the name used in places.
inline std::optional<tree::Table> parse_toml(std::string_view text, const std::string& file,
                                             Findings& findings) {
    if (const auto at = unquoted_non_ascii(text)) {
        findings.push_back({Severity::error, "file.not-toml", {}, "a letter or blank that TOML takes only in quotes",
                            {}, "put the text or key in quotes, or write a plain blank",
                            {file, static_cast<std::uint32_t>(at->line), static_cast<std::uint32_t>(at->column)}});
        return std::nullopt;
    }
    try {
        const toml::table table = toml::parse(text, file);
        return detail::toml_table(table, file);
    } catch (const toml::parse_error& error) {
        findings.push_back({Severity::error, "file.not-toml", {}, std::string(error.description()),
                            {}, "see the TOML 1.0 syntax",
                            detail::toml_place(error.source(), file)});
        return std::nullopt;
    }
}

}  // namespace mastline
