// SPDX-License-Identifier: Apache-2.0
#include <array>

#include "mastline/text/table_reader.hpp"
#include "planner/venue/copies.hpp"
#include "planner/venue/signal_tables.hpp"

namespace mastline {

namespace {

constexpr std::array<std::pair<std::string_view, RunMedium>, 2> kMedia{
    {{"coax", RunMedium::coax}, {"fibre", RunMedium::fibre}}};

constexpr std::array<KeyDoc, 16> kRunKeys{{
    {"name", "text", false, "Cable label; made from the ends when absent."},
    {"from", "text", true, "Output port, \"split-1.out2\"; the port may be left out where there is "
     "only one output. With count, {} is the number of the copy and {+4} that plus 4."},
    {"to", "text", true, "Input port, \"ms-1.in\" or a card input \"A1.in1\"; written like from."},
    {"count", "whole number", false, "Copies of it, 1 to 1000; default 1."},
    {"lanes", "list of whole number", false, "Conductors of from that it carries, in the order of "
     "to_lanes; default all that both ports share, one to one."},
    {"to_lanes", "list of whole number", false, "Conductors of to on which they arrive; default "
     "those of lanes, or 1 where to is one conductor wide."},
    {"medium", "one of: coax, fibre", false, "Default that of the cable, else coax."},
    {"cable", "text", false, "rg59, rg6, rg11, single-mode, or a [[cable]] of the venue; default "
     "rg6, on fibre single-mode."},
    {"length", "length", false, "Default 0 m."},
    {"loss", "gain", false, "Loss reckoned flat, instead of cable and length."},
    {"tolerance", "gain", false, "Plus or minus in dB, on top of the percentage; optical dB on fibre."},
    {"tolerance_percent", "number", false, "Plus or minus in percent of its loss; default the "
     "cable's."},
    {"outdoor", "true or false", false, "Whether it follows the outdoor temperature; default false."},
    {"connectors", "whole number", false, "Of a fibre, mated pairs; default 2."},
    {"splices", "whole number", false, "Of a fibre; default 0."},
    {"user_bands", "list of whole number", false, "Slots that the card at its end uses; dealt by the "
     "planner otherwise."},
}};

struct RunText {
    std::string name, from, to;
    int count = 1;
};

PortRef port_ref(const std::string& text) {
    const auto dot = text.rfind('.');
    if (dot == std::string::npos) return {text, ""};
    return {text.substr(0, dot), text.substr(dot + 1)};
}

// Lane lists as written: pairs, or a list of `from` alone with `to` 0 for "as is".
std::vector<RunLane> read_lanes(TableReader& reader) {
    const auto from = reader.integers("lanes", 1, 64), to = reader.integers("to_lanes", 1, 64);
    std::vector<RunLane> out;
    if (!to.empty() && to.size() != from.size()) {
        reader.fault("run.lane-lists", reader.place_of("to_lanes"),
                     "to_lanes has " + std::to_string(to.size()) + " lanes and lanes has " +
                         std::to_string(from.size()),
                     "give both lists the same length");
        return out;
    }
    for (std::size_t i = 0; i < from.size(); ++i)
        out.push_back({LaneNumber{static_cast<int>(from[i])},
                       LaneNumber{to.empty() ? 0 : static_cast<int>(to[i])}});
    return out;
}

void read_loss(TableReader& reader, Run& run) {
    run.length = reader.quantity_at_least<Length>("length", Length{}).value_or(Length{});
    run.loss = reader.quantity_at_least<Gain>("loss", Gain::db(0));
    run.tolerance = reader.quantity_at_least<Gain>("tolerance", Gain::db(0));
    run.tolerance_percent = reader.number("tolerance_percent", 0, 100);
    run.outdoor = reader.boolean("outdoor").value_or(false);
    run.connectors = static_cast<int>(reader.integer("connectors", 0, 1000).value_or(2));
    run.splices = static_cast<int>(reader.integer("splices", 0, 1000).value_or(0));
}

}  // namespace

const TableDoc kRunDoc{"[[run]]", "A cable or fibre, or a bundle of them, between two ports.",
                       kRunKeys};

void read_run(const tree::Table& table, Venue& venue, Findings& findings) {
    TableReader r(table, kRunDoc, findings);
    Run run;
    run.place = r.place();
    run.from_place = r.place_of("from");
    run.to_place = r.place_of("to");
    const RunText text{r.text("name").value_or(""), r.text("from").value_or(""),
                       r.text("to").value_or(""),
                       static_cast<int>(r.integer("count", 1, 1000).value_or(1))};
    run.lanes = read_lanes(r);
    const auto medium = r.choice<RunMedium>("medium", "medium", kMedia);
    run.medium = medium.value_or(RunMedium::coax);
    run.cable = r.text("cable").value_or(medium == RunMedium::fibre ? "single-mode" : "");
    read_loss(r, run);
    for (const auto slot : r.integers("user_bands", 1, 64))
        run.user_bands.push_back(static_cast<int>(slot));
    for (int i = 1; i <= text.count && !text.from.empty() && !text.to.empty(); ++i) {
        run.name = text.name.empty() ? "" : copy_name(text.name, i, text.count);
        run.from = port_ref(copy_text(text.from, i));
        run.to = port_ref(copy_text(text.to, i));
        venue.runs.push_back(run);
    }
}

}  // namespace mastline
