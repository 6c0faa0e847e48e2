// SPDX-License-Identifier: Apache-2.0
#include "mastline/venue/load_venue.hpp"

#include <algorithm>
#include <map>
#include <tuple>

#include "mastline/text/did_you_mean.hpp"
#include "mastline/venue/channel_csv.hpp"
#include "mastline/venue/toml_file.hpp"
#include "planner/venue/sections.hpp"

namespace mastline {

namespace {

class Loader {
public:
    Loader(VenueFiles& files, Findings& findings)
        : files_(files), findings_(findings), sections_(all_sections()) {}

    Venue load(const std::string& main) {
        const Place whole_file{main};
        read_toml_file({main, whole_file});
        if (complete_ && !once_.contains("venue"))
            fault("file.missing-section", whole_file, main + " has no [venue]",
                  "add [venue] with the name of the site");
        // Only [venue] names files and only one [venue] is read: the list does not grow.
        for (const auto& file : venue_.includes) read_toml_file(file);
        if (venue_.channel_list) read_channel_list(*venue_.channel_list);
        if (complete_) check();
        return std::move(venue_);
    }

private:
    // None and a finding when the file is not there or was read before.
    std::optional<std::string> open(const NamedFile& file) {
        const auto [first, fresh] = opened_.emplace(file.name, file.place);
        if (!fresh) {
            fault("file.named-twice", file.place, "'" + file.name + "' is read already",
                  first->second.line == 0 ? "leave it out: a file does not include itself"
                                          : "it is named at " + to_text(first->second));
            return std::nullopt;
        }
        auto text = files_.read(file.name);
        if (!text) {
            fault("file.missing", file.place, "there is no file '" + file.name + "'",
                  "add the file or correct its name");
            complete_ = false;
        }
        return text;
    }

    void read_toml_file(const NamedFile& file) {
        const auto text = open(file);
        if (!text) return;
        const auto root = read_toml(*text, file.name, findings_);
        if (!root) complete_ = false;
        else
            for (const auto& entry : root->entries) read_entry(entry);
    }

    void read_channel_list(const NamedFile& file) {
        const auto text = open(file);
        if (!text) return;
        const auto* section = section_named("channel");
        const std::size_t before = findings_.size();
        for (const auto& table : read_channel_csv(*text, file.name, findings_))
            section->read(table, venue_, findings_);
        fold_missing_keys(before);
    }

    // A column that the list lacks is missing in every row: said once, with how many rows.
    void fold_missing_keys(std::size_t from) {
        std::map<std::string, std::pair<std::size_t, std::size_t>> first_of;  // by what is said: index, rows
        Findings kept(findings_.begin(), findings_.begin() + static_cast<std::ptrdiff_t>(from));
        for (std::size_t i = from; i < findings_.size(); ++i) {
            const bool missing = findings_[i].id == "file.missing-key";
            const auto at = missing ? first_of.find(findings_[i].what) : first_of.end();
            if (at != first_of.end()) {
                ++at->second.second;
                continue;
            }
            if (missing) first_of[findings_[i].what] = {kept.size(), 1};
            kept.push_back(std::move(findings_[i]));
        }
        for (const auto& [what, place] : first_of)
            if (place.second > 1) kept[place.first].amount = std::to_string(place.second) + " rows";
        findings_ = std::move(kept);
    }

    void read_entry(const tree::Entry& entry) {
        const auto* section = section_named(entry.key);
        if (section == nullptr) return report_unknown(entry);
        if (const auto* table = std::get_if<tree::Table>(&entry.value.held)) {
            if (section->repeated || is_first(entry)) section->read(*table, venue_, findings_);
        } else if (const auto* list = std::get_if<tree::Array>(&entry.value.held);
                   list != nullptr && section->repeated) {
            for (const auto& item : *list) read_item(*section, item);
        } else {
            report_shape(*section, entry.value);
        }
    }

    void read_item(const VenueSection& section, const tree::Value& item) {
        if (const auto* table = std::get_if<tree::Table>(&item.held))
            section.read(*table, venue_, findings_);
        else
            report_shape(section, item);
    }

    bool is_first(const tree::Entry& entry) {
        const auto [first, fresh] = once_.emplace(entry.key, entry.key_place);
        if (!fresh)
            fault("file.section-twice", entry.key_place, "second [" + entry.key + "]",
                  "it stands once in all files; the first is at " + to_text(first->second));
        return fresh;
    }

    void report_shape(const VenueSection& section, const tree::Value& value) {
        const std::string key(section.key);
        fault("file.wrong-type", value.place,
              "'" + key + "' is " + std::string(tree::kind_name(value)),
              "write it as a table that starts with " +
                  (section.repeated ? "[[" + key + "]]" : "[" + key + "], once"));
    }

    void report_unknown(const tree::Entry& entry) {
        std::vector<std::string_view> known;
        for (const auto& section : sections_) known.push_back(section.key);
        const bool misplaced = entry.key == "include" || entry.key == "channels_csv";
        fault("file.unknown-section", entry.key_place, "unknown section '" + entry.key + "'",
              misplaced ? "it stands in [venue]" : suggestion(entry.key, known));
    }

    void check() {
        check_signal(venue_, findings_);
        check_lineup(venue_, findings_);
        check_network(venue_, findings_);
    }

    const VenueSection* section_named(std::string_view key) const {
        for (const auto& section : sections_)
            if (section.key == key) return &section;
        return nullptr;
    }

    void fault(std::string id, const Place& place, std::string what, std::string cure) {
        findings_.push_back(
            {Severity::error, std::move(id), {}, std::move(what), {}, std::move(cure), place});
    }

    VenueFiles& files_;
    Findings& findings_;
    std::vector<VenueSection> sections_;
    Venue venue_;
    std::map<std::string, Place> opened_;              // by name: where it is named first
    std::map<std::string, Place, std::less<>> once_;   // sections that stand once, seen so far
    bool complete_ = true;  // every file could be read; else names may be missing for no fault
};

void sort_by_place(Findings& findings) {
    std::stable_sort(findings.begin(), findings.end(), [](const Finding& a, const Finding& b) {
        return std::tie(a.place, a.severity, a.id) < std::tie(b.place, b.severity, b.id);
    });
    findings.erase(std::unique(findings.begin(), findings.end()), findings.end());
}

}  // namespace

Venue load_venue(VenueFiles& files, const std::string& main, Findings& findings) {
    Venue venue = Loader(files, findings).load(main);
    sort_by_place(findings);
    return venue;
}

}  // namespace mastline
