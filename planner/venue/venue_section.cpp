// SPDX-License-Identifier: Apache-2.0
#include <array>

#include "mastline/text/table_reader.hpp"
#include "mastline/venue/venue.hpp"
#include "planner/venue/file_name.hpp"
#include "planner/venue/sections.hpp"

namespace mastline {

namespace {

constexpr std::array<KeyDoc, 5> kVenueKeys{{
    {"name", "text", true, "Name of the site, as it stands on the sheets."},
    {"kind", "text", false, "What it is, in your own words: arena, hotel, hospital, campus."},
    {"include", "list of file names", false,
     "Further TOML files with any of the sections below but this one, relative to this folder."},
    {"channels_csv", "file name", false,
     "Channel list in CSV with the columns of [[channel]]; its rows add to those."},
    {"rate_window", "number", false,
     "Part of its planned rate by which a stream's measured rate may differ, 0 to 1; default 0.05."},
}};

constexpr TableDoc kDoc{"[venue]", "The site as a whole; once, in venue.toml.", kVenueKeys};

// None and a finding when the name leads out of the venue's folder.
std::optional<NamedFile> checked(TableReader& reader, const std::string& written,
                                 const Place& place) {
    if (auto name = name_in_folder(written)) return NamedFile{std::move(*name), place};
    reader.fault("file.outside", place, "'" + written + "' is no file inside the venue's folder",
                 "name it relative to that folder: \"network.toml\", \"lists/channels.csv\"");
    return std::nullopt;
}

void read_venue(const tree::Table& table, Venue& venue, Findings& findings) {
    TableReader reader(table, kDoc, findings);
    venue.place = reader.place();
    venue.name = reader.text("name").value_or("");
    venue.kind = reader.text("kind").value_or("");
    for (const auto& [written, place] : reader.texts("include"))
        if (auto file = checked(reader, written, place)) venue.includes.push_back(std::move(*file));
    if (const auto written = reader.text("channels_csv"))
        venue.channel_list = checked(reader, *written, reader.place_of("channels_csv"));
    venue.rate_window.share =
        reader.number("rate_window", 0, 1).value_or(venue.rate_window.share);
}

}  // namespace

VenueSection venue_section() { return {"venue", false, {&kDoc}, read_venue}; }

}  // namespace mastline
