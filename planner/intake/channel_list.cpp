// SPDX-License-Identifier: Apache-2.0
#include "planner/intake/channel_list.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <initializer_list>
#include <set>

#include "mastline/net/group.hpp"
#include "mastline/venue/channel_csv.hpp"

namespace mastline {

namespace {

// Letters and digits in lower case; all else is a blank between words.
std::string plain_words(std::string_view text) {
    std::string out;
    for (const char c : text) {
        const auto u = static_cast<unsigned char>(c);
        if (std::isalnum(u) != 0 || u >= 0x80) out += static_cast<char>(std::tolower(u));
        else if (!out.empty() && out.back() != ' ') out += ' ';
    }
    while (!out.empty() && out.back() == ' ') out.pop_back();
    return out;
}

// On one line: a run of blanks, line ends and control characters is one blank, none at the ends.
std::string trimmed(std::string_view text) {
    std::string out;
    for (const char c : text) {
        const auto u = static_cast<unsigned char>(c);
        if (u > 0x20 && u != 0x7F) out += c;
        else if (!out.empty() && out.back() != ' ') out += ' ';
    }
    if (out.ends_with(' ')) out.pop_back();
    return out;
}

struct HeaderWords {
    std::string_view key;
    std::initializer_list<std::string_view> headers;
};

// Header words in the order of how surely they mean the key; all in the form of plain_words().
const std::array<HeaderWords, 13>& header_words() {
    static const std::array<HeaderWords, 13> all{{
        {"number", {"number", "channel number", "channel no", "ch number", "ch no", "no", "nr", "lcn", "ch", "channel", "position", "pos"}},
        {"name", {"name", "channel name", "station name", "service title", "station", "title", "programme", "program", "label", "channel"}},
        {"class", {"class", "picture class", "definition", "resolution", "quality", "hd sd", "sd hd", "format", "picture"}},
        {"genre", {"genre", "tag", "category", "theme", "package"}},
        {"service", {"service", "service key", "satellite service", "source service"}},
        {"input", {"input", "encoder input", "house input", "in house source", "source input"}},
        {"source", {"service or input", "source", "feed"}},
        {"group", {"group", "multicast group", "multicast address", "multicast ip", "multicast", "group address", "ip address", "destination", "ip"}},
        {"port", {"port", "udp port", "destination port"}},
        {"protected", {"protected", "protection", "protect", "must carry", "critical", "redundant"}},
        {"card", {"card", "card name"}},
        {"copy", {"copy"}},
        {"remark", {"remark", "remarks", "comment", "comments", "note", "notes"}},
    }};
    return all;
}

std::optional<std::string> channel_number_text(std::string text) {
    std::replace(text.begin(), text.end(), ',', '.');
    std::replace(text.begin(), text.end(), '-', '.');
    if (text.ends_with(".0")) text.resize(text.size() - 2);  // a spreadsheet's 101.0
    return parse_channel_number(text) ? std::optional(text) : std::nullopt;
}

// By the lines of a format: "1080", "1080i", "2160p59.94", "1920x1080".
std::optional<std::string> class_of_format(std::string_view word) {
    word.remove_prefix(word.find('x') + 1);  // npos + 1 is 0
    const auto lines = word.substr(0, word.find_first_not_of("0123456789"));
    word.remove_prefix(lines.size());
    if (word.starts_with('i') || word.starts_with('p')) word.remove_prefix(1);
    if (word.find_first_not_of("0123456789 ") != word.npos) return std::nullopt;
    if (lines == "480" || lines == "576") return "SD";
    if (lines == "720" || lines == "1080") return "HD";
    if (lines == "2160") return "UHD";
    return std::nullopt;
}

std::optional<std::string> picture_class(const std::string& text) {
    const std::string word = plain_words(text);
    const auto any = [&](std::initializer_list<std::string_view> words) {
        return std::find(words.begin(), words.end(), word) != words.end();
    };
    if (any({"hd", "full hd", "hdtv"})) return "HD";
    if (any({"sd", "sdtv"})) return "SD";
    if (any({"uhd", "4k", "uhd 4k", "ultra hd"})) return "UHD";
    if (any({"radio", "audio", "sound"})) return "radio";
    return class_of_format(word);
}

std::optional<std::string> truth(const std::string& text) {
    const std::string word = plain_words(text);
    for (const auto* yes : {"yes", "y", "true", "1", "x"})
        if (word == yes) return "true";
    for (const auto* no : {"no", "n", "false", "0"})
        if (word == no) return "false";
    return std::nullopt;
}

std::optional<std::string> port_number(const std::string& text) {
    if (text.empty() || text.size() > 5 || text.find_first_not_of("0123456789") != std::string::npos) return std::nullopt;
    const int port = std::stoi(text);
    return port >= 1 && port <= 65535 ? std::optional(std::to_string(port)) : std::nullopt;
}

// Our own lists guard a text that a spreadsheet would take for a formula with an apostrophe.
std::string without_guard(std::string text) {
    if (text.size() > 1 && text[0] == '\'' && std::string_view("=+-@|%\t\r").find(text[1]) != std::string_view::npos)
        text.erase(0, 1);
    return text;
}

class Reader {
public:
    Reader(std::vector<CsvRow> rows, Findings& findings) : rows_(std::move(rows)), findings_(findings) {}

    ChannelList run() {
        rows_.erase(rows_.begin(), header_row());
        map_columns();
        for (std::size_t r = 1; r < rows_.size(); ++r) read_row(rows_[r]);
        check_numbers();
        return std::move(out_);
    }

private:
    void fault(const std::string& id, const Place& place, const std::string& what, const std::string& cure) {
        findings_.push_back({Severity::error, id, {}, what, {}, cure, place});
    }

    // A title may stand above the headers: the first row that heads the number or the name and something else;
    // where there is none, the first.
    std::vector<CsvRow>::const_iterator header_row() const {
        constexpr std::ptrdiff_t kSearched = 20;
        const auto end = rows_.begin() + std::min(kSearched, std::ssize(rows_));
        const auto found = std::find_if(rows_.begin(), end, [](const CsvRow& row) {
            std::set<std::string_view> keys;
            for (const auto& field : row.fields)
                for (const auto& [key, words] : header_words())
                    if (std::find(words.begin(), words.end(), plain_words(field.text)) != words.end()) keys.insert(key);
            return keys.size() > 1 && (keys.contains("number") || keys.contains("name"));
        });
        return found == end ? rows_.begin() : found;
    }

    // Each key takes the column whose header means it most surely.
    void map_columns() {
        const auto& header = rows_.front().fields;
        key_of_.assign(header.size(), "");
        for (const auto& [key, words] : header_words())
            for (const auto word : words)
                if (const auto column = free_column(word, key); column && !taken(key)) key_of_[*column] = key;
        for (std::size_t c = 0; c < header.size(); ++c) {
            if (!key_of_[c].empty()) out_.columns.push_back(key_of_[c] + " from '" + trimmed(header[c].text) + "'");
            else if (!trimmed(header[c].text).empty()) out_.unmapped.push_back(trimmed(header[c].text));
        }
        if (!taken("number") && !taken("name"))
            fault("import.no-columns", rows_.front().place, "no column is a channel's number or name",
                  "head the columns with number and name, in the first row");
    }

    bool taken(std::string_view key) const { return std::find(key_of_.begin(), key_of_.end(), key) != key_of_.end(); }

    std::optional<std::size_t> free_column(std::string_view word, std::string_view key) const {
        const auto& header = rows_.front().fields;
        for (std::size_t c = 0; c < header.size(); ++c) {
            if (!key_of_[c].empty() || plain_words(header[c].text) != word) continue;
            // "Channel" may stand over numbers or names.
            if (word == "channel" && (key == "number") != holds_numbers(c)) continue;
            return c;
        }
        return std::nullopt;
    }

    bool holds_numbers(std::size_t column) const {
        return std::all_of(rows_.begin() + 1, rows_.end(), [&](const CsvRow& row) {
            const std::string text = column < row.fields.size() ? trimmed(row.fields[column].text) : "";
            return text.empty() || channel_number_text(text);
        });
    }

    void read_row(const CsvRow& row) {
        ListedChannel out;
        out.place = row.place;
        const auto before = findings_.size();
        for (std::size_t c = 0; c < row.fields.size(); ++c) {
            const std::string text = without_guard(trimmed(row.fields[c].text));
            if (text.empty()) continue;
            if (c >= key_of_.size())
                fault("import.surplus-field", row.fields[c].place, "'" + text + "' stands beyond the last column",
                      "quote a field that holds the separator, or head the column");
            else if (!key_of_[c].empty()) read_cell(out, key_of_[c], text, row.fields[c].place);
        }
        out.is_faulty = findings_.size() != before;
        settle_source(out);
        const bool again = out.keys.contains("copy") && out.keys["copy"] != "1";  // another carriage of a channel
        out.keys.erase("copy");
        if ((!out.keys.empty() || out.is_faulty) && !again) out_.channels.push_back(std::move(out));
    }

    // A service is named by its carrier, a slash and its number; all else is an input of the house.
    static void settle_source(ListedChannel& out) {
        const auto source = out.keys.extract("source");
        if (source.empty() || out.keys.contains("service") || out.keys.contains("input")) return;
        out.keys[source.mapped().find('/') == std::string::npos ? "input" : "service"] = source.mapped();
    }

    void read_cell(ListedChannel& out, const std::string& key, const std::string& text, const Place& place) {
        if (key == "group" && read_flow(out, text)) return;
        std::optional<std::string> value = text;
        std::string right;
        if (key == "number") value = channel_number_text(text), right = "write 101, or 5.1 for a sub-channel";
        else if (key == "class") value = picture_class(text), right = "write SD, HD, UHD or radio";
        else if (key == "protected") value = truth(text), right = "write yes or no";
        else if (key == "port") value = port_number(text), right = "write a whole number from 1 to 65535";
        else if (key == "group" && !parse_group(text)) value.reset(), right = "write a multicast address: 239.192.10.20";
        if (!value) return fault("import.bad-" + key, place, "'" + text + "' is no " + key_name(key), right);
        if (key == "number") out.number = parse_channel_number(*value);
        out.keys[key] = *value;
    }

    // A group with its port: "239.192.10.20:5004". A port of its own column goes first.
    static bool read_flow(ListedChannel& out, const std::string& text) {
        const auto colon = text.rfind(':');
        if (colon == std::string::npos || parse_group(text) || !parse_group(text.substr(0, colon))) return false;
        const auto port = port_number(text.substr(colon + 1));
        if (!port) return false;
        out.keys["group"] = text.substr(0, colon);
        out.keys.try_emplace("port", *port);
        return true;
    }

    static std::string key_name(const std::string& key) {
        return key == "number" ? "channel number" : key == "class" ? "picture class" : key == "group" ? "multicast group"
               : key == "port" ? "UDP port" : "yes or no";
    }

    void check_numbers() {
        std::map<ChannelNumber, Place> seen;
        for (const auto& channel : out_.channels) {
            if (!channel.number) continue;
            const auto [at, fresh] = seen.emplace(*channel.number, channel.place);
            if (!fresh)
                fault("import.number-twice", channel.place,
                      "channel number " + to_text(*channel.number) + " stands in row " + std::to_string(at->second.line) +
                          " already", "give every channel its own number");
        }
    }

    std::vector<CsvRow> rows_;
    Findings& findings_;
    std::vector<std::string> key_of_;  // of each column; empty: not read
    ChannelList out_;
};

}  // namespace

ChannelList read_channel_list(std::string_view csv, const std::string& file, Findings& findings) {
    auto rows = read_csv(csv, file, findings);
    if (rows.empty()) {
        findings.push_back({Severity::error, "import.empty-list", {}, "the list is empty", {},
                            "its first row names the columns: number, name, ...", {file, 1, 1}});
        return {};
    }
    return Reader(std::move(rows), findings).run();
}

}  // namespace mastline
