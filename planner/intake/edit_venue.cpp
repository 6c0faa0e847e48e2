// SPDX-License-Identifier: Apache-2.0
#include "planner/intake/edit_venue.hpp"

#include <functional>
#include <optional>
#include <string_view>
#include <utility>
#include <vector>

#include "mastline/text/escape.hpp"
#include "mastline/venue/toml_file.hpp"
#include "planner/intake/toml_edit.hpp"

namespace mastline {

namespace {

struct WrittenTable {
    std::string file;
    tree::Table table;
};

std::string text_of(const tree::Table& table, std::string_view key) {
    const auto* entry = tree::find(table, key);
    const auto* text = entry == nullptr ? nullptr : std::get_if<std::string>(&entry->value.held);
    return text == nullptr ? "" : *text;
}

std::string name_of(const tree::Table& table) { return text_of(table, "name"); }

std::string link_name_of(const tree::Table& table) {
    const auto name = name_of(table);
    return name.empty() ? text_of(table, "from") + "/" + text_of(table, "to") : name;
}

class Editing {
public:
    Editing(const FileTexts& texts, Findings& findings) : texts_(texts), findings_(findings) {}

    void apply(const VenueEdit& edit) { std::visit(*this, edit); }
    FileTexts take() { return std::move(texts_); }

    void operator()(const SetTrim& e) {
        std::vector<std::string> values;
        for (const auto trim : e.trim) values.push_back(to_exact_text(trim));
        set_of_device(e.device, "trim", values);
    }
    void operator()(const SetSlope& e) {
        set_of_device(e.device, "slope", e.slope ? std::vector{to_exact_text(*e.slope)} : std::vector<std::string>{});
    }
    void operator()(const SetPads& e) {
        std::vector<std::string> values;
        for (const auto& pad : e.pads) values.push_back(pad ? to_exact_text(*pad) : "none");
        set_of_device(e.device, "pads", values);
    }
    void operator()(const SetLoss& e) { set_of_device(e.device, "loss", {to_exact_text(e.loss)}); }

    void operator()(const RemoveLink& e) {
        change("link", e.link, link_name_of, [](TomlLines& lines, const tree::Table& table) { remove_table(lines, table); });
    }

    void operator()(const AddCard& e) {
        const auto cards = tables_of("card");
        const auto models = cards.empty() ? tables_of("card_model") : std::vector<WrittenTable>{};
        if (cards.empty() && models.empty())
            return fault("edit.no-place", "there is no [[card]] or [[card_model]] to put the card below",
                         "add the card's model first");
        const auto& after = cards.empty() ? models.back() : cards.back();
        TomlLines lines(texts_[after.file]);
        if (!has_header(lines, after.table)) return inline_fault(cards.empty() ? "card_model" : "card", after.table);
        lines.insert_below(past_remarks(lines, last_line_of(lines, after.table)), card_lines(e));
        texts_[after.file] = lines.text();
    }

private:
    static std::vector<std::string> card_lines(const AddCard& e) {
        std::vector<std::string> out{"", "[[card]]"};
        const auto add = [&](std::string_view key, std::string_view value) {
            if (!value.empty()) out.push_back(std::string(key) + " = " + toml_string(value));
        };
        add("name", e.name);
        add("model", e.model);
        add("chassis", e.chassis);
        add("state", e.state == CardState::buy ? "buy" : e.state == CardState::store ? "store" : "");
        add("wired_like", e.wired_like);
        return out;
    }

    void fault(std::string id, std::string what, std::string cure, Place place = {}) {
        findings_.push_back({Severity::error, std::move(id), {}, std::move(what), {}, std::move(cure), std::move(place)});
    }

    void inline_fault(const std::string& section, const tree::Table& table) {
        fault("edit.inline-table", "a " + section + " written as { ... } cannot be changed from here",
              "write it as a [[" + section + "]] table", table.place);
    }

    // All tables of a section, in the order of the files.
    std::vector<WrittenTable> tables_of(std::string_view section) {
        std::vector<WrittenTable> out;
        for (const auto& [file, text] : texts_) {
            const auto root = read_toml(text, file, findings_);
            const auto* entry = root ? tree::find(*root, section) : nullptr;
            const auto* list = entry == nullptr ? nullptr : std::get_if<tree::Array>(&entry->value.held);
            if (list == nullptr) continue;
            for (const auto& item : *list)
                if (const auto* table = std::get_if<tree::Table>(&item.held)) out.push_back({file, *table});
        }
        return out;
    }

    // Does `work` on the one table of that name.
    void change(const std::string& section, const std::string& name, std::string (*name_of_table)(const tree::Table&),
                const std::function<void(TomlLines&, const tree::Table&)>& work) {
        std::vector<WrittenTable> found;
        for (auto& written : tables_of(section))
            if (name_of_table(written.table) == name) found.push_back(std::move(written));
        if (found.size() != 1)
            return fault("edit.unknown-" + section,
                         (found.empty() ? "no " : "more than one ") + section + " is named '" + name + "'",
                         "look at the sheets anew");
        TomlLines lines(texts_[found[0].file]);
        if (!has_header(lines, found[0].table)) return inline_fault(section, found[0].table);
        work(lines, found[0].table);
        texts_[found[0].file] = lines.text();
    }

    // No values: the key goes.
    void set_of_device(const std::string& device, std::string_view key, const std::vector<std::string>& values) {
        change("device", device, name_of, [&](TomlLines& lines, const tree::Table& table) {
            if (values.empty()) remove_key(lines, table, key);
            else set_texts(lines, table, key, values);
        });
    }

    FileTexts texts_;
    Findings& findings_;
};

}  // namespace

FileTexts edit_venue(const FileTexts& texts, std::span<const VenueEdit> edits, Findings& findings) {
    Findings faults;
    Editing editing(texts, faults);
    for (const auto& edit : edits) {
        editing.apply(edit);
        if (has_errors(faults)) break;  // what follows may rest on it
    }
    findings.insert(findings.end(), faults.begin(), faults.end());
    return has_errors(faults) ? texts : editing.take();
}

}  // namespace mastline
