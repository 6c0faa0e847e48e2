// SPDX-License-Identifier: Apache-2.0
#include "mastline/venue/feeds.hpp"

#include <algorithm>
#include <array>

#include "mastline/text/table_reader.hpp"
#include "planner/venue/signal_tables.hpp"

namespace mastline {

namespace {

constexpr std::array<std::pair<std::string_view, FeedKind>, 2> kFeedKinds{
    {{"satellite", FeedKind::satellite}, {"antenna", FeedKind::antenna}}};
constexpr std::array<std::pair<std::string_view, Polarisation>, 5> kPolarisations{
    {{"none", Polarisation::none},
     {"horizontal", Polarisation::horizontal},
     {"vertical", Polarisation::vertical},
     {"left", Polarisation::left},
     {"right", Polarisation::right}}};

constexpr std::array<KeyDoc, 7> kFeedKeys{{
    {"name", "text", true, "How carriers and runs refer to it. Its port is out."},
    {"kind", "one of: satellite, antenna", false, "Default satellite."},
    {"position", "text", false, "Where it stands, in words."},
    {"lane", "list of tables", true, "One per conductor, [[feed.lane]]."},
    {"supply_minimum", "voltage", false, "Least voltage that its LNB or amplifier works with."},
    {"supply_current", "current", false, "Constant current that it draws over its output."},
    {"power_lane", "whole number", false, "Lane that carries its power; default 1."},
}};
constexpr std::array<KeyDoc, 10> kFeedLaneKeys{{
    {"lane", "whole number", false, "Number of the lane; default its place in the list, from 1."},
    {"band_low", "frequency", true, "Lowest frequency as it leaves the feed (satellite: the IF)."},
    {"band_high", "frequency", true, "Highest frequency as it leaves the feed."},
    {"level", "level", false, "Level per carrier at both band edges, where they are alike."},
    {"level_low", "level", false, "Level per carrier at band_low; instead of level."},
    {"level_high", "level", false, "Level per carrier at band_high; instead of level."},
    {"tolerance", "gain", false, "Plus or minus; default 0 dB."},
    {"carrier_to_noise", "gain", false, "At the feed's output, in the carrier's bandwidth. Without "
     "it only the noise of the path is reckoned, from a source at 290 K."},
    {"polarisation", "one of: none, horizontal, vertical, left, right", false, "Default none."},
    {"local_oscillator", "frequency", false, "Of the LNB: the IF is |downlink - local oscillator|."},
}};

FeedLane read_lane(const tree::Table& table, int position, Findings& findings) {
    TableReader r(table, kFeedLaneDoc, findings);
    FeedLane lane;
    lane.place = r.place();
    lane.lane.value = static_cast<int>(r.integer("lane", 1, 64).value_or(position));
    const auto edge_low = r.quantity_at_least<Frequency>("band_low", Frequency{1});
    const auto edge_high = r.quantity_at_least<Frequency>("band_high", Frequency{1});
    lane.band = {edge_low.value_or(Frequency{1}), edge_high.value_or(Frequency{1})};
    const auto both = r.quantity<Level>("level");
    const auto low = r.quantity<Level>("level_low"), high = r.quantity<Level>("level_high");
    if (!(both || (low && high)) && !r.has("level"))
        r.fault("file.missing-key", r.place(), "[[feed.lane]] has no level",
                "add level, or level_low and level_high");
    lane.level_low = low.value_or(both.value_or(Level::dbm(0)));
    lane.level_high = high.value_or(both.value_or(Level::dbm(0)));
    lane.tolerance = r.quantity_at_least<Gain>("tolerance", Gain::db(0)).value_or(Gain::db(0));
    lane.carrier_to_noise = r.quantity<Gain>("carrier_to_noise");
    lane.polarisation =
        r.choice<Polarisation>("polarisation", "polarisation", kPolarisations)
            .value_or(Polarisation::none);
    lane.local_oscillator = r.quantity_at_least<Frequency>("local_oscillator", Frequency{1});
    if (edge_low && edge_high && *edge_low >= *edge_high)
        r.fault("feed.band-upside-down", r.place_of("band_high"),
                "band_high " + to_text(lane.band.high) + " is not above band_low " +
                    to_text(lane.band.low),
                "write the lower edge as band_low");
    return lane;
}

void check_numbers(const Feed& feed, Findings& findings) {
    for (std::size_t i = 0; i < feed.lanes.size(); ++i) {
        const auto& lane = feed.lanes[i];
        const int wanted = static_cast<int>(i) + 1;
        if (lane.lane.value != wanted)
            findings.push_back({Severity::error, "feed.lane-numbers", "feed " + feed.name,
                                "lane " + std::to_string(lane.lane.value) + " stands where lane " +
                                    std::to_string(wanted) + " is due",
                                {}, "number the lanes 1 to " + std::to_string(feed.lanes.size()) +
                                        " without gap or repeat",
                                lane.place});
    }
}

}  // namespace

const TableDoc kFeedDoc{"[[feed]]", "One signal source at the roof, one or more lanes wide.",
                        kFeedKeys};
const TableDoc kFeedLaneDoc{"[[feed.lane]]", "One conductor of a feed: one band, one polarisation.",
                            kFeedLaneKeys};

void read_feed(const tree::Table& table, Venue& venue, Findings& findings) {
    TableReader r(table, kFeedDoc, findings);
    Feed feed;
    feed.place = r.place();
    feed.name = r.text("name").value_or("");
    feed.kind = r.choice<FeedKind>("kind", "feed kind", kFeedKinds).value_or(FeedKind::satellite);
    feed.position = r.text("position").value_or("");
    int position = 0;
    for (const auto* lane : r.tables("lane"))
        feed.lanes.push_back(read_lane(*lane, ++position, findings));
    std::stable_sort(feed.lanes.begin(), feed.lanes.end(),
                     [](const FeedLane& a, const FeedLane& b) { return a.lane < b.lane; });
    check_numbers(feed, findings);
    feed.supply_minimum = r.quantity_at_least<Voltage>("supply_minimum", Voltage{});
    feed.supply_current = r.quantity_at_least<Current>("supply_current", Current{});
    feed.power_lane.value = static_cast<int>(r.integer("power_lane", 1, 64).value_or(1));
    if (!feed.name.empty()) venue.feeds.push_back(std::move(feed));
}

}  // namespace mastline
