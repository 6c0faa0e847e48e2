// SPDX-License-Identifier: Apache-2.0
#include "planner/intake/merge_channels.hpp"

#include <algorithm>
#include <cctype>
#include <map>
#include <set>

#include "mastline/text/escape.hpp"
#include "mastline/venue/toml_file.hpp"
#include "planner/intake/toml_edit.hpp"
#include "planner/intake/toml_lines.hpp"

namespace mastline {

namespace {

// In the order in which they are written.
constexpr std::string_view kKeys[] = {"number", "name",      "class", "genre", "service", "input",
                                      "group",  "port",      "protected", "card",  "remark"};

std::string folded(std::string_view text) {
    std::string out;
    for (const char c : text)
        if (c != ' ') out += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    return out;
}

// As the venue files write a value.
std::string toml_value(std::string_view key, const std::string& text) {
    const bool bare = key == "protected" || key == "port" ||
                      (key == "number" && text.find('.') == std::string::npos);
    return bare ? text : toml_string(text);
}

std::string text_of(const tree::Value& value) {
    if (const auto* text = std::get_if<std::string>(&value.held)) return *text;
    if (const auto* whole = std::get_if<std::int64_t>(&value.held)) return std::to_string(*whole);
    if (const auto* truth = std::get_if<bool>(&value.held)) return *truth ? "true" : "false";
    return {};
}

// One [[channel]] of the file.
struct Written {
    const tree::Table* table = nullptr;
    std::map<std::string, std::string> keys;  // and their values, as texts
    bool met = false;                         // in the list
    std::string label() const {
        const auto number = keys.find("number");
        return number != keys.end() ? number->second : "line " + std::to_string(table->place.line);
    }
};

class Merging {
public:
    Merging(std::string_view toml, const std::string& file, SameBy same, Findings& findings)
        : lines_(toml), same_(same), findings_(findings) {
        root_ = read_toml(toml, file, findings);
        if (root_) find_written();
    }

    MergedChannels run(const ChannelList& list) {
        if (!root_) return {};
        // From the last to the first, so that the places of what stands above stay true.
        std::vector<const ListedChannel*> fresh;
        std::map<std::size_t, const ListedChannel*> of_written;
        for (const auto& channel : list.channels) {
            const auto at = match(channel);
            if (at) of_written[*at] = &channel, written_[*at].met = true;
            else fresh.push_back(&channel);
        }
        number_fresh(fresh);
        if (has_errors(findings_)) return {};
        append(fresh);
        for (auto it = of_written.rbegin(); it != of_written.rend(); ++it) update(written_[it->first], *it->second);
        for (const auto& w : written_)
            if (!w.met) out_.absent.push_back(w.label());
        std::reverse(out_.changed.begin(), out_.changed.end());
        out_.text = lines_.text();
        return std::move(out_);
    }

private:
    void find_written() {
        const auto* entry = tree::find(*root_, "channel");
        if (entry == nullptr) return;
        const auto* list = std::get_if<tree::Array>(&entry->value.held);
        if (list == nullptr) return;
        for (const auto& item : *list) {
            const auto* table = std::get_if<tree::Table>(&item.held);
            if (table == nullptr) continue;
            const auto line = lines_.line(table->place.line);
            const auto first = line.find_first_not_of(" \t");
            if (first == std::string_view::npos || !line.substr(first).starts_with("[[")) {
                findings_.push_back({Severity::error, "import.inline-channel", {}, "a channel written as { ... } cannot be merged", {},
                                     "write it as a [[channel]] table", table->place});
                continue;
            }
            Written written{table, {}, false};
            for (const auto& e : table->entries) written.keys[e.key] = text_of(e.value);
            written_.push_back(std::move(written));
        }
    }

    std::optional<std::size_t> match(const ListedChannel& channel) {
        const std::string key = same_ == SameBy::number ? "number" : same_ == SameBy::name ? "name" : "group";
        const auto wanted = channel.keys.find(key);
        if (wanted == channel.keys.end()) {
            if (!channel.is_faulty)
                findings_.push_back({Severity::error, "import.no-" + key, {}, "the row has no " + key + " to know the channel by", {},
                                     "fill it in, or know channels by another column (--by)", channel.place});
            return std::nullopt;
        }
        for (std::size_t i = 0; i < written_.size(); ++i) {
            const auto have = written_[i].keys.find(key);
            if (written_[i].met || have == written_[i].keys.end()) continue;
            const bool equal = key == "name" ? folded(have->second) == folded(wanted->second)
                                             : have->second == wanted->second;
            if (equal) return i;
        }
        return std::nullopt;
    }

    // New channels keep the number of the list where it is free, else get the next free one above all.
    void number_fresh(const std::vector<const ListedChannel*>& fresh) {
        std::set<ChannelNumber> taken;
        for (const auto& w : written_)
            if (const auto at = w.keys.find("number"); at != w.keys.end())
                if (const auto n = parse_channel_number(at->second)) taken.insert(*n);
        for (const auto* channel : fresh) {
            ChannelNumber number = channel->number.value_or(ChannelNumber{});
            if (!channel->number || taken.contains(number))
                number = {taken.empty() ? 1 : taken.rbegin()->major + 1, 0};
            taken.insert(number);
            number_of_[channel] = to_text(number);
            if (!channel->keys.contains("name") && !channel->is_faulty)
                findings_.push_back({Severity::error, "import.no-name", {}, "the new channel " + to_text(number) + " has no name", {},
                                     "fill in its name", channel->place});
        }
    }

    void append(const std::vector<const ListedChannel*>& fresh) {
        std::vector<std::string> lines;
        for (const auto* channel : fresh) {
            if (!lines.empty() || lines_.count() > 0) lines.emplace_back();
            lines.emplace_back("[[channel]]");
            auto keys = channel->keys;
            keys["number"] = number_of_[channel];
            for (const auto key : kKeys)
                if (const auto at = keys.find(std::string(key)); at != keys.end())
                    lines.push_back(std::string(key) + " = " + toml_value(key, at->second));
            if (!keys.contains("service") && !keys.contains("input")) {
                lines.emplace_back("# its source is still to be filled in: service = \"...\" or input = \"...\"");
                out_.sourceless.push_back(keys["number"]);
            }
            out_.added.push_back(keys["number"]);
        }
        if (lines.empty()) return;
        lines_.insert_below(written_.empty() ? lines_.count() : past_remarks(lines_, last_line(*written_.back().table)), lines);
    }

    std::size_t last_line(const tree::Table& table) const {
        std::size_t last = table.place.line;
        for (const auto& e : table.entries)
            last = std::max(last, lines_.end_of_value(e.value.place.line, e.value.place.column).line);
        return last;
    }

    void update(const Written& written, const ListedChannel& channel) {
        std::vector<std::string> what, fresh;
        std::vector<const tree::Entry*> replaced;
        for (const auto key : kKeys) {
            const auto wanted = channel.keys.find(std::string(key));
            if (wanted == channel.keys.end() || (key == "number" && same_ != SameBy::number)) continue;
            const auto* entry = tree::find(*written.table, key);
            // A source of the other kind stays the engineer's business: only one of the two may stand.
            const bool other_source = (key == "service" && written.keys.contains("input")) ||
                                      (key == "input" && written.keys.contains("service"));
            if (other_source || (entry != nullptr && text_of(entry->value) == wanted->second)) continue;
            what.emplace_back(key);
            if (entry != nullptr) replaced.push_back(entry);
            else fresh.push_back(std::string(key) + " = " + toml_value(key, wanted->second));
        }
        if (what.empty()) {
            ++out_.unchanged;
            return;
        }
        lines_.insert_below(last_line(*written.table), fresh);
        std::sort(replaced.begin(), replaced.end(), [](const tree::Entry* a, const tree::Entry* b) {
            return a->value.place.line > b->value.place.line;
        });
        for (const auto* entry : replaced)
            lines_.replace_value(entry->value.place.line, entry->value.place.column,
                                 toml_value(entry->key, channel.keys.at(entry->key)));
        std::string all;
        for (const auto& w : what) all += (all.empty() ? "" : ", ") + w;
        out_.changed.push_back(written.label() + ": " + all);
    }

    TomlLines lines_;
    SameBy same_;
    Findings& findings_;
    std::optional<tree::Table> root_;
    std::vector<Written> written_;
    std::map<const ListedChannel*, std::string> number_of_;
    MergedChannels out_;
};

}  // namespace

void give_sources(ChannelList& list, const std::vector<NamedSource>& sources) {
    std::map<std::string, std::vector<const NamedSource*>> by_name;
    for (const auto& source : sources) by_name[folded(source.name)].push_back(&source);
    for (auto& channel : list.channels) {
        if (channel.keys.contains("service") || channel.keys.contains("input") || !channel.keys.contains("name")) continue;
        const auto at = by_name.find(folded(channel.keys["name"]));
        if (at != by_name.end() && at->second.size() == 1) channel.keys[at->second[0]->key] = at->second[0]->value;
    }
}

MergedChannels merge_channels(std::string_view toml, const std::string& file, const ChannelList& list, SameBy same,
                              Findings& findings) {
    return Merging(toml, file, same, findings).run(list);
}

}  // namespace mastline
