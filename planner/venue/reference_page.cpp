// SPDX-License-Identifier: Apache-2.0
#include "mastline/venue/reference_page.hpp"

#include <fmt/format.h>

#include "mastline/mpeg/stream_kind.hpp"
#include "planner/venue/sections.hpp"

namespace mastline {

namespace {

constexpr std::string_view kHead =
    R"(# The venue files, key by key

Written by `mastline-planner reference` from the lists that the program reads by.

A venue is a folder with `venue.toml` (TOML 1.0, UTF-8). It may include further TOML files and take
its channel list from a CSV file. Each section may stand in any of the files; those in double
brackets may stand any number of times, over all files. A name may be used before it is defined.
Unknown sections and keys are errors.

Quantities are texts with their unit: a level `"-20 dBm"`, `"28.75 dBmV"` or `"88.75 dBuV"` (at
75 ohm), a gain or loss `"6 dB"`, a frequency `"1450 MHz"`, a length `"30 m"` or `"100 ft"`, a bit
rate `"8 Mbit/s"`, a duration `"10 s"`, a voltage `"18 V"`, a current `"250 mA"`, a temperature
`"35 C"`.
)";

constexpr std::string_view kCsv =
    R"(
## Channel list in CSV

The file that `channels_csv` of `[venue]` names, as a spreadsheet saves it (RFC 4180): a header row,
then one channel per row. Comma, semicolon or tab between fields; a byte order mark and any line
ends are accepted. A blank cell means that the key is not given. The columns, in any order:

| column | what | required |
| --- | --- | --- |
)";

// A cell of a Markdown table.
std::string cell(std::string_view text) {
    std::string out;
    for (const char c : text) {
        if (c == '|' || c == '<') out += '\\';
        out += c;
    }
    return out;
}

std::string key_row(const KeyDoc& key) {
    return "| `" + std::string(key.name) + "` | " + cell(key.type) + " | " +
           (key.required ? "yes" : "") + " | " + cell(key.meaning) + " |\n";
}

std::string table_text(const TableDoc& doc, std::string_view marks) {
    std::string out = "\n" + std::string(marks) + " `" + std::string(doc.heading) + "`\n\n" +
                      cell(doc.meaning) + "\n\n| key | value | required | meaning |\n" +
                      "| --- | --- | --- | --- |\n";
    for (const auto& key : doc.keys) out += key_row(key);
    return out;
}

std::string section_text(const VenueSection& section) {
    std::string out;
    for (const auto* doc : section.docs) out += table_text(*doc, out.empty() ? "##" : "###");
    return out;
}

std::string stream_kinds() {
    std::string out = "\n## Stream kinds\n\nWhat a component may be, and the stream_type of the PMT (ISO/IEC 13818-1) that carries it,\n"
                      "where that is 0x06 with the descriptor (EN 300 468) that tells it.\n\n"
                      "| kind | what | stream_type | descriptor |\n| --- | --- | --- | --- |\n";
    for (const auto& kind : kStreamKinds)
        out += fmt::format("| `{}` | {} | 0x{:02X} | {} |\n", kind.name, cell(kind.meaning), kind.stream_type.value,
                           kind.descriptor_tag == 0 ? "" : fmt::format("0x{:02X}", kind.descriptor_tag));
    return out;
}

std::string csv_columns(const VenueSection& channels) {
    std::string out(kCsv);
    for (const auto& key : channels.docs.front()->keys)
        out += "| `" + std::string(key.name) + "` | " + cell(key.type) + " | " +
               (key.required ? "yes" : "") + " |\n";
    return out;
}

}  // namespace

std::string reference_page() {
    std::string out(kHead), columns;
    for (const auto& section : all_sections()) {
        out += section_text(section);
        if (section.key == "channel") columns = csv_columns(section);
    }
    return out + columns + stream_kinds();
}

}  // namespace mastline
