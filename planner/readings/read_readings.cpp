// SPDX-License-Identifier: Apache-2.0
#include "mastline/readings/read_readings.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "mastline/text/table_reader.hpp"
#include "mastline/venue/csv_tables.hpp"
#include "mastline/venue/port_index.hpp"
#include "planner/readings/planned_levels.hpp"

namespace mastline {

namespace {

constexpr std::array<KeyDoc, 11> kKeys{{
    {"test_point", "text", true, "Device and port, \"amplifier.out\"; the device alone where it has one test point."},
    {"lane", "whole number", true, "Conductor of the port."},
    {"frequency", "frequency", false, "Where the meter was tuned; blank for optical power."},
    {"level", "level", false, "What it showed, or \"no signal\"; blank: not read."},
    {"unit", "text", false, "Unit of levels that have none of their own: dBm, dBmV or dBuV."},
    {"time", "text", false, "When."},
    {"instrument", "text", false, "With which meter."},
    {"signal", "text", false, "Of the template: feed and lane; not read."},
    {"expected_dbm", "number", false, "Of the template: the level planned."},
    {"lowest_dbm", "number", false, "Of the template: the least that tolerances allow; not read."},
    {"highest_dbm", "number", false, "Of the template: the most that tolerances allow; not read."},
}};
constexpr TableDoc kDoc{"a reading", "One reading of a meter.", kKeys};

constexpr double kUnsteady = 3;                 // dB between readings of one point
constexpr double kStale = 0.1;                  // dB between the sheet's expectation and the plan's

bool is_no_signal(const std::string& text) {
    std::string plain;
    for (const char c : text) plain += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    return plain == "no signal" || plain == "none";
}

class SheetReader {
public:
    SheetReader(const Venue& venue, const SignalPlan& plan, Findings& findings)
        : index_(venue), levels_(plan), findings_(findings) {}

    std::vector<Reading> read(const std::vector<tree::Table>& rows) {
        std::vector<Reading> out;
        for (const auto& row : rows)
            if (auto reading = read_row(row)) out.push_back(std::move(*reading));
        return out;
    }

private:
    std::optional<Reading> read_row(const tree::Table& row) {
        TableReader reader(row, kDoc, findings_);
        Reading out;
        out.place = reader.place();
        const auto port = port_of(reader);
        const auto lane = reader.integer("lane", 1, 1000);
        const auto frequency = reader.quantity<Frequency>("frequency");
        const bool blank = !reader.text("level") || reader.text("level")->empty();
        const bool heard = !blank && !is_no_signal(*reader.text("level"));
        const auto level = heard ? level_of(reader) : std::nullopt;
        out.time = reader.text("time").value_or("");
        out.instrument = reader.text("instrument").value_or("");
        if (!port || !lane || (heard && !level)) return std::nullopt;
        out.level = level;
        out.point.port = *port;
        out.point.lane = LaneNumber{static_cast<int>(*lane)};
        const auto* planned = planned_at(reader, out.point, frequency);
        if (planned == nullptr) return std::nullopt;
        if (!planned->optical) out.point.frequency = frequency;
        check_expectation(reader, *planned, frequency);
        return blank ? std::nullopt : std::optional(out);
    }

    std::vector<std::string> test_points() const {
        std::vector<std::string> marked, all;
        for (const auto& [name, node] : index_.nodes())
            for (const auto& port : node.ports) {
                all.push_back(to_text(PortRef{name, port.name}));
                if (port.test_point) marked.push_back(all.back());
            }
        return marked.empty() ? all : marked;
    }

    std::vector<std::string> known_points() const {
        std::vector<std::string> out;
        for (const auto& [name, node] : index_.nodes())
            for (const auto& port : node.ports) out.push_back(to_text(PortRef{name, port.name}));
        return out;
    }

    std::optional<PortRef> port_of(TableReader& reader) {
        const auto text = reader.text("test_point");
        if (!text) return std::nullopt;
        const auto unknown = [&](const std::string& cure) {
            reader.fault("readings.unknown-test-point", reader.place_of("test_point"),
                         "unknown test point '" + *text + "'", cure);
            return std::nullopt;
        };
        // Names may hold dots: the longest device name that fits goes first.
        for (auto dot = text->rfind('.'); dot != std::string::npos && dot > 0; dot = text->rfind('.', dot - 1)) {
            const PortRef ref{text->substr(0, dot), text->substr(dot + 1)};
            if (index_.port(ref) != nullptr) return ref;
        }
        if (const auto* node = index_.node(*text)) {
            std::vector<PortRef> ports;
            for (const auto& port : node->ports)
                if (port.test_point || node->ports.size() == 1) ports.push_back({*text, port.name});
            if (ports.size() == 1) return ports.front();
            return unknown("name its port: " + port_list(*node));
        }
        if (nearest_word(*text, known_points())) return unknown(suggestion(*text, known_points()));
        return unknown(suggestion(*text, test_points()));
    }

    static std::string port_list(const Node& node) {
        std::string out;
        for (const auto& port : node.ports) out += (out.empty() ? "" : ", ") + node.name + "." + port.name;
        return out;
    }

    // A level with its unit, or with that of the column "unit".
    std::optional<Level> level_of(TableReader& reader) {
        const std::string text = *reader.text("level");
        auto parsed = parse_level(text);
        const auto unit = reader.text("unit").value_or("");
        if (!parsed && !unit.empty() && parse_level(text + " dBm")) parsed = parse_level(text + " " + unit);
        if (parsed) return *parsed;
        reader.fault("file.bad-quantity", reader.place_of("level"), "'level': " + parsed.error().message,
                     "write the unit in the cell or in a column 'unit', or \"no signal\"");
        return std::nullopt;
    }

    // The signal that a reading is of; a finding where there is none.
    const PortLevel* planned_at(TableReader& reader, const MeterPoint& point,
                                const std::optional<Frequency>& frequency) {
        const int lanes = index_.port(point.port)->lanes;
        const auto lane = point.lane.value;
        const auto name = to_text(point.port);
        if (lane > lanes) {
            reader.fault("readings.no-such-lane", reader.place_of("lane"),
                         name + " has no lane " + std::to_string(lane),
                         lanes == 1 ? "it has one lane" : "it has lanes 1 to " + std::to_string(lanes));
            return nullptr;
        }
        const auto there = levels_.at(point.port, point.lane);
        if (there.empty()) {
            reader.fault("readings.no-signal-planned", reader.place_of("lane"),
                         "no signal is planned at " + name + " lane " + std::to_string(lane),
                         "see the wiring list for the lanes that are connected");
            return nullptr;
        }
        if (there.front()->optical) return there.front();
        if (!frequency) {
            if (!reader.has("frequency") || reader.text("frequency").value_or("").empty())
                reader.fault("file.missing-key", reader.place(), "a reading at " + name + " has no 'frequency'",
                             "say where the meter was tuned");
            return nullptr;
        }
        if (const auto* level = levels_.at(MeterPoint{point.port, point.lane, frequency})) return level;
        std::string bands;
        for (const auto* level : there)
            bands += (bands.empty() ? "" : ", ") + to_text(level->lane) + " from " + to_text(level->low.at) +
                     " to " + to_text(level->high.at);
        reader.fault("readings.frequency-outside-lane", reader.place_of("frequency"),
                     to_text(*frequency) + " is outside what comes to " + name + " lane " + std::to_string(lane),
                     "there is " + bands);
        return nullptr;
    }

    // A sheet printed before the venue was changed would mislead whoever filled it in.
    void check_expectation(TableReader& reader, const PortLevel& planned, const std::optional<Frequency>& f) {
        const auto expected = reader.number("expected_dbm", -200, 200);
        if (!expected) return;
        const auto range = PlannedLevels::range(planned, f);
        if (!range || std::abs(range->nominal.dbm() - *expected) <= kStale) return;
        findings_.push_back({Severity::warning, "readings.stale-sheet", {},
                             "the sheet expects " + to_text(Level::dbm(*expected)) + ", the plan now " +
                                 to_text(range->nominal),
                             {}, "the plan counts; print the sheet anew", reader.place_of("expected_dbm")});
    }

    PortIndex index_;
    PlannedLevels levels_;
    Findings& findings_;
};

void note_unsteady(const std::vector<Reading>& readings, Findings& findings) {
    for (const auto& point : averaged(readings))
        if (point.spread.db() > kUnsteady)
            findings.push_back({Severity::warning, "readings.unsteady", to_text(point.point),
                                std::to_string(point.count) + " readings differ", to_text(point.spread),
                                "look for a loose connector, and read again", point.place});
}

}  // namespace

const TableDoc& readings_doc() { return kDoc; }

std::vector<Reading> read_readings(std::string_view text, const std::string& file, const Venue& venue,
                                   const SignalPlan& plan, Findings& findings) {
    const auto rows = read_csv_tables(
        text, file, {"the sheet of readings", "test point,lane,frequency,level,..."}, kKeys, findings);
    auto out = SheetReader(venue, plan, findings).read(rows);
    note_unsteady(out, findings);
    return out;
}

}  // namespace mastline
