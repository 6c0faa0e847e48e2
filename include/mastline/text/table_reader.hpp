// SPDX-License-Identifier: Apache-2.0
// Reads one table key by key: types, units, required and unknown keys. Every fault becomes a
// finding with its place; reading goes on, so that one run reports all.
#pragma once

#include <charconv>
#include <concepts>
#include <limits>
#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "mastline/findings/finding.hpp"
#include "mastline/net/flow.hpp"
#include "mastline/net/mac_address.hpp"
#include "mastline/text/did_you_mean.hpp"
#include "mastline/text/table_doc.hpp"
#include "mastline/text/tree.hpp"
#include "mastline/units/bit_rate.hpp"
#include "mastline/units/electrical.hpp"
#include "mastline/units/frequency.hpp"
#include "mastline/units/length.hpp"
#include "mastline/units/level.hpp"
#include "mastline/units/temperature.hpp"
#include "mastline/units/ticks.hpp"

namespace mastline {

// parse_text<Q>(text): the parser of each quantity under one name.
template <class Q>
Parsed<Q, UnitFault> parse_text(std::string_view text) {
    if constexpr (std::same_as<Q, Level>) return parse_level(text);
    else if constexpr (std::same_as<Q, Gain>) return parse_gain(text);
    else if constexpr (std::same_as<Q, Frequency>) return parse_frequency(text);
    else if constexpr (std::same_as<Q, SymbolRate>) return parse_symbol_rate(text);
    else if constexpr (std::same_as<Q, Length>) return parse_length(text);
    else if constexpr (std::same_as<Q, BitRate>) return parse_bit_rate(text);
    else if constexpr (std::same_as<Q, Voltage>) return parse_voltage(text);
    else if constexpr (std::same_as<Q, Current>) return parse_current(text);
    else if constexpr (std::same_as<Q, Resistance>) return parse_resistance(text);
    else if constexpr (std::same_as<Q, Power>) return parse_power(text);
    else if constexpr (std::same_as<Q, Temperature>) return parse_temperature(text);
    else if constexpr (std::same_as<Q, Duration>) return parse_duration(text);
    else if constexpr (std::same_as<Q, IpAddress>) return parse_ip_address(text);
    else if constexpr (std::same_as<Q, Group>) return parse_group(text);
    else if constexpr (std::same_as<Q, MacAddress>) return parse_mac_address(text);
    else static_assert(!sizeof(Q), "no parser for this quantity");
}

class TableReader {
public:
    // `name` is what messages call this table ("channel 12"); the ids of its findings are
    // "file.unknown-key" and the like. Unknown keys are reported at once.
    TableReader(const tree::Table& table, const TableDoc& doc, Findings& findings)
        : table_(table), doc_(doc), findings_(findings) {
        for (const auto& entry : table.entries)
            if (!documented(entry.key)) report_unknown(entry);
    }

    const Place& place() const { return table_.place; }
    // Place of the value of `key`, or of the table when the key is absent.
    const Place& place_of(std::string_view key) const {
        const auto* entry = find(key);
        return entry != nullptr ? entry->value.place : table_.place;
    }
    bool has(std::string_view key) const { return find(key) != nullptr; }

    std::optional<std::string> text(std::string_view key) {
        const auto* value = wanted(key);
        if (value == nullptr) return std::nullopt;
        if (const auto* s = std::get_if<std::string>(&value->held)) {
            if (!s->empty() || !required(key)) return *s;
            fault("file.empty-text", value->place, quoted(key) + " is empty", "give it a text");
            return std::nullopt;
        }
        wrong_type(key, *value, "a text in quotes");
        return std::nullopt;
    }

    // A text, or a whole number taken as its digits: "5.1" and 101 alike.
    std::optional<std::string> label(std::string_view key) {
        const auto* value = wanted(key);
        return value == nullptr ? std::nullopt : label_of(key, *value);
    }

    // A list of labels; a CSV cell holds several with blanks, commas or semicolons between them.
    std::vector<std::pair<std::string, Place>> labels(std::string_view key) {
        std::vector<std::pair<std::string, Place>> out;
        for_each(key, [&](const tree::Value& item) {
            const auto text = label_of(key, item);
            if (!text) return;
            std::string_view rest = *text;
            while (item.from_csv && !rest.empty()) {
                const auto end = std::min(rest.find_first_of(" ,;"), rest.size());
                if (end > 0) out.emplace_back(rest.substr(0, end), item.place);
                rest.remove_prefix(std::min(end + 1, rest.size()));
            }
            if (!item.from_csv) out.emplace_back(*text, item.place);
        });
        return out;
    }

    // A quantity with its unit, in quotes.
    template <class Q>
    std::optional<Q> quantity(std::string_view key) {
        const auto* value = wanted(key);
        return value == nullptr ? std::nullopt : quantity_of<Q>(key, *value);
    }

    // As quantity(), and not below `least`.
    template <class Q>
    std::optional<Q> quantity_at_least(std::string_view key, Q least) {
        const auto q = quantity<Q>(key);
        if (!q || *q >= least) return q;
        fault("file.out-of-range", place_of(key), quoted(key) + " is " + to_text(*q),
              "it must be at least " + to_text(least));
        return std::nullopt;
    }

    std::optional<std::int64_t> integer(std::string_view key, std::int64_t least,
                                        std::int64_t most) {
        const auto* value = wanted(key);
        if (value == nullptr) return std::nullopt;
        return integer_of(key, *value, least, most);
    }

    // A plain number without unit (a ratio, a factor).
    std::optional<double> number(std::string_view key, double least, double most) {
        const auto* value = wanted(key);
        if (value == nullptr) return std::nullopt;
        std::optional<double> n;
        if (const auto* d = std::get_if<double>(&value->held)) n = *d;
        if (const auto* i = std::get_if<std::int64_t>(&value->held)) n = static_cast<double>(*i);
        if (const auto* s = std::get_if<std::string>(&value->held); s != nullptr && value->from_csv)
            n = number_of(*s);
        if (!n) {
            wrong_type(key, *value, "a number without unit");
        } else if (!(*n >= least && *n <= most)) {
            fault("file.out-of-range", value->place, quoted(key) + " is " + number_text(*n, 6),
                  "it must be " + number_text(least, 6) + " to " + number_text(most, 6));
            n.reset();
        }
        return n;
    }

    std::optional<bool> boolean(std::string_view key) {
        const auto* value = wanted(key);
        if (value == nullptr) return std::nullopt;
        if (const auto* b = std::get_if<bool>(&value->held)) return *b;
        if (const auto* s = std::get_if<std::string>(&value->held); s != nullptr && value->from_csv) {
            if (*s == "true" || *s == "TRUE" || *s == "yes" || *s == "1") return true;
            if (*s == "false" || *s == "FALSE" || *s == "no" || *s == "0" || s->empty())
                return false;
        }
        wrong_type(key, *value, "true or false");
        return std::nullopt;
    }

    // One word of a list; `noun` names it in messages ("device kind").
    template <class E>
    std::optional<E> choice(std::string_view key, std::string_view noun,
                            std::span<const std::pair<std::string_view, E>> words) {
        const auto word = text(key);
        if (!word) return std::nullopt;
        std::vector<std::string_view> known;
        for (const auto& [name, e] : words) {
            if (name == *word) return e;
            known.push_back(name);
        }
        fault("file.unknown-word", place_of(key),
              "unknown " + std::string(noun) + " '" + *word + "'", suggestion(*word, known));
        return std::nullopt;
    }

    std::vector<std::pair<std::string, Place>> texts(std::string_view key) {
        std::vector<std::pair<std::string, Place>> out;
        for_each(key, [&](const tree::Value& item) {
            if (const auto* s = std::get_if<std::string>(&item.held)) out.emplace_back(*s, item.place);
            else wrong_type(key, item, "a list of texts in quotes");
        });
        return out;
    }

    std::vector<std::int64_t> integers(std::string_view key, std::int64_t least,
                                       std::int64_t most) {
        std::vector<std::int64_t> out;
        for_each(key, [&](const tree::Value& item) {
            if (const auto n = integer_of(key, item, least, most)) out.push_back(*n);
        });
        return out;
    }

    template <class Q>
    std::vector<Q> quantities(std::string_view key) {
        std::vector<Q> out;
        for_each(key, [&](const tree::Value& item) {
            if (const auto q = quantity_of<Q>(key, item)) out.push_back(*q);
        });
        return out;
    }

    // The table under `key`, or each table of the list under it ([[key]]).
    std::vector<const tree::Table*> tables(std::string_view key) {
        std::vector<const tree::Table*> out;
        const auto* value = wanted(key);
        if (value == nullptr) return out;
        if (const auto* table = std::get_if<tree::Table>(&value->held)) out.push_back(table);
        else if (const auto* list = std::get_if<tree::Array>(&value->held)) {
            for (const auto& item : *list) {
                if (const auto* t = std::get_if<tree::Table>(&item.held)) out.push_back(t);
                else wrong_type(key, item, "a table");
            }
        } else {
            wrong_type(key, *value, "a table");
        }
        return out;
    }

    // A fault found by the caller in the value of some key.
    void fault(std::string id, const Place& place, std::string what, std::string cure) {
        findings_.push_back(
            {Severity::error, std::move(id), {}, std::move(what), {}, std::move(cure), place});
    }
    Findings& findings() { return findings_; }

private:
    const tree::Entry* find(std::string_view key) const { return tree::find(table_, key); }

    const KeyDoc* documented(std::string_view key) const {
        for (const auto& doc : doc_.keys)
            if (doc.name == key) return &doc;
        return nullptr;
    }
    bool required(std::string_view key) const {
        const auto* doc = documented(key);
        if (doc == nullptr)  // a reader asks for a key that its TableDoc does not list
            throw std::logic_error("undocumented key " + std::string(key));
        return doc->required;
    }

    const tree::Value* wanted(std::string_view key) {
        const bool needed = required(key);
        const auto* entry = find(key);
        if (entry != nullptr) {
            const auto* s = std::get_if<std::string>(&entry->value.held);
            const bool blank_cell = entry->value.from_csv && s != nullptr && s->empty();
            if (!blank_cell) return &entry->value;
        }
        if (needed)
            fault("file.missing-key", table_.place,
                  std::string(doc_.heading) + " has no " + quoted(key),
                  "add " + std::string(key) + " (" + std::string(documented(key)->type) + ")");
        return nullptr;
    }

    template <class F>
    void for_each(std::string_view key, F&& f) {
        const auto* value = wanted(key);
        if (value == nullptr) return;
        if (const auto* list = std::get_if<tree::Array>(&value->held))
            for (const auto& item : *list) f(item);
        else
            f(*value);  // one value stands for a list of one
    }

    std::optional<std::string> label_of(std::string_view key, const tree::Value& value) {
        if (const auto* s = std::get_if<std::string>(&value.held)) return *s;
        if (const auto* i = std::get_if<std::int64_t>(&value.held)) return std::to_string(*i);
        wrong_type(key, value, "a whole number, or a text in quotes");
        return std::nullopt;
    }

    template <class Q>
    std::optional<Q> quantity_of(std::string_view key, const tree::Value& value) {
        const auto* s = std::get_if<std::string>(&value.held);
        if (s == nullptr) {
            wrong_type(key, value, std::string(documented(key)->type) + " with its unit, in quotes");
            return std::nullopt;
        }
        const auto parsed = parse_text<Q>(*s);
        if (parsed) return *parsed;
        fault("file.bad-quantity", value.place, quoted(key) + ": " + parsed.error().message, "");
        return std::nullopt;
    }

    std::optional<std::int64_t> integer_of(std::string_view key, const tree::Value& value,
                                           std::int64_t least, std::int64_t most) {
        std::optional<std::int64_t> n;
        if (const auto* i = std::get_if<std::int64_t>(&value.held)) n = *i;
        if (const auto* s = std::get_if<std::string>(&value.held); s != nullptr && value.from_csv) {
            std::int64_t parsed = 0;
            const auto [end, ec] = std::from_chars(s->data(), s->data() + s->size(), parsed);
            if (ec == std::errc{} && end == s->data() + s->size()) n = parsed;
        }
        if (!n) {
            wrong_type(key, value, "a whole number");
        } else if (*n < least || *n > most) {
            fault("file.out-of-range", value.place, quoted(key) + " is " + std::to_string(*n),
                  "it must be " + std::to_string(least) + " to " + std::to_string(most));
            n.reset();
        }
        return n;
    }

    static std::optional<double> number_of(const std::string& s) {
        double n = 0;
        const auto [end, ec] = std::from_chars(s.data(), s.data() + s.size(), n);
        return ec == std::errc{} && end == s.data() + s.size() ? std::optional(n) : std::nullopt;
    }

    static std::string quoted(std::string_view key) { return "'" + std::string(key) + "'"; }

    void wrong_type(std::string_view key, const tree::Value& value, const std::string& wanted) {
        fault("file.wrong-type", value.place,
              quoted(key) + " is " + std::string(tree::kind_name(value)), "write " + wanted);
    }

    void report_unknown(const tree::Entry& entry) {
        std::vector<std::string_view> known;
        for (const auto& doc : doc_.keys) known.push_back(doc.name);
        fault("file.unknown-key", entry.key_place,
              "unknown key '" + entry.key + "' in " + std::string(doc_.heading),
              suggestion(entry.key, known));
    }

    const tree::Table& table_;
    const TableDoc& doc_;
    Findings& findings_;
};

}  // namespace mastline
