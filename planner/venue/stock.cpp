// SPDX-License-Identifier: Apache-2.0
#include <array>

#include "mastline/text/table_reader.hpp"
#include "planner/venue/signal_tables.hpp"

namespace mastline {

namespace {

constexpr std::array<KeyDoc, 2> kStockKeys{{
    {"pad", "list of tables", false, "Pads in the store room, [[stock.pad]]."},
    {"tap", "list of tables", false, "Taps in the store room, [[stock.tap]]. A tap without tap_loss "
     "gets one of them, the same for all its lanes."},
}};
constexpr std::array<KeyDoc, 3> kStockPadKeys{{
    {"loss", "gain", true, "What it takes off."},
    {"count", "whole number", true, "How many there are, for all lanes and places together, those "
     "given in pad places included."},
    {"tolerance", "gain", false, "Plus or minus; default 0 dB."},
}};
constexpr std::array<KeyDoc, 4> kStockTapKeys{{
    {"tap_loss", "gain", true, "Loss from in to the tap port."},
    {"through_loss", "gain", true, "Loss from in to out."},
    {"count", "whole number", false, "How many there are; any number when absent."},
    {"tolerance", "gain", false, "Plus or minus of both; default 0 dB."},
}};
constexpr std::array<KeyDoc, 3> kClimateKeys{{
    {"ambient", "temperature", false, "Outdoors, for nominal levels; default 20 C."},
    {"cold", "temperature", false, "Coldest, for the worst case; default ambient."},
    {"hot", "temperature", false, "Hottest, for the worst case; default ambient."},
}};

constexpr Gain kNoParts = Gain::db(0);

}  // namespace

const TableDoc kStockDoc{"[stock]", "What is in the store room.", kStockKeys};
const TableDoc kStockPadDoc{"[[stock.pad]]", "One value of pad.", kStockPadKeys};
const TableDoc kStockTapDoc{"[[stock.tap]]", "One value of tap.", kStockTapKeys};
const TableDoc kClimateDoc{"[climate]", "Air temperatures at outdoor runs.", kClimateKeys};

void read_stock(const tree::Table& table, Venue& venue, Findings& findings) {
    TableReader r(table, kStockDoc, findings);
    for (const auto* t : r.tables("pad")) {
        TableReader pad(*t, kStockPadDoc, findings);
        StockedPad out;
        out.place = pad.place();
        out.loss = pad.quantity_at_least<Gain>("loss", Gain::db(0.1)).value_or(Gain::db(0.1));
        out.count = static_cast<int>(pad.integer("count", 0, 100'000).value_or(0));
        out.tolerance = pad.quantity_at_least<Gain>("tolerance", kNoParts).value_or(kNoParts);
        venue.stock.pads.push_back(out);
    }
    for (const auto* t : r.tables("tap")) {
        TableReader tap(*t, kStockTapDoc, findings);
        StockedTap out;
        out.place = tap.place();
        out.tap_loss = tap.quantity_at_least<Gain>("tap_loss", kNoParts).value_or(kNoParts);
        out.through_loss = tap.quantity_at_least<Gain>("through_loss", kNoParts).value_or(kNoParts);
        out.tolerance = tap.quantity_at_least<Gain>("tolerance", kNoParts).value_or(kNoParts);
        if (const auto n = tap.integer("count", 0, 100'000)) out.count = static_cast<int>(*n);
        venue.stock.taps.push_back(out);
    }
}

void read_climate(const tree::Table& table, Venue& venue, Findings& findings) {
    TableReader r(table, kClimateDoc, findings);
    auto& climate = venue.climate;
    if (const auto t = r.quantity<Temperature>("ambient")) climate.ambient = *t;
    climate.cold = r.quantity<Temperature>("cold");
    climate.hot = r.quantity<Temperature>("hot");
    const auto fault = [&](std::string_view key) {
        r.fault("climate.upside-down", r.place_of(key),
                "cold, ambient and hot are not in rising order", "give cold <= ambient <= hot");
    };
    if (climate.cold && *climate.cold > climate.ambient) fault("cold");
    if (climate.hot && *climate.hot < climate.ambient) fault("hot");
}

}  // namespace mastline
