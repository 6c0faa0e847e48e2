// SPDX-License-Identifier: Apache-2.0
#include "mastline/readings/baseline.hpp"

#include <array>
#include <cmath>
#include <set>

#include "mastline/text/escape.hpp"
#include "mastline/text/table_reader.hpp"
#include "planner/readings/planned_levels.hpp"

namespace mastline {

namespace {

constexpr std::string_view kSchema = "mastline-baseline 1";
constexpr double kMoved = 0.1;  // dB by which the plan may have changed

constexpr std::array<KeyDoc, 3> kRootKeys{{
    {"schema", "text", true, "\"mastline-baseline 1\"."},
    {"venue", "text", false, "Name of the venue."},
    {"reading", "tables", false, "The readings."},
}};
constexpr TableDoc kRootDoc{"the baseline", "Accepted readings of a venue.", kRootKeys};

constexpr std::array<KeyDoc, 8> kReadingKeys{{
    {"device", "text", true, "Device of the test point."},
    {"port", "text", true, "Its port."},
    {"lane", "whole number", true, "Conductor of the port."},
    {"frequency", "frequency", false, "Absent for optical power."},
    {"level", "level", true, "Mean of the readings."},
    {"expected", "level", true, "What the plan said then."},
    {"readings", "whole number", true, "How many."},
    {"instrument", "text", false, "With which meter."},
}};
constexpr TableDoc kReadingDoc{"[[reading]]", "One point.", kReadingKeys};

// What the plan expects at a point; between band edges and carriers, straight between the edges.
std::optional<Level> expected_at(const PlannedLevels& levels, const MeterPoint& point) {
    const auto* level = levels.at(point);
    if (level == nullptr) return std::nullopt;
    if (const auto range = PlannedLevels::range(*level, point.frequency)) return range->nominal;
    const double width = megahertz(level->high.at) - megahertz(level->low.at);
    const double share = width > 0 ? (megahertz(*point.frequency) - megahertz(level->low.at)) / width : 0;
    return level->low.nominal + (level->high.nominal - level->low.nominal) * share;
}

std::optional<PointReading> read_point(const tree::Table& table, const PlannedLevels& levels,
                                       Findings& findings) {
    TableReader reader(table, kReadingDoc, findings);
    PointReading out;
    out.place = reader.place();
    const auto device = reader.text("device"), port = reader.text("port");
    const auto lane = reader.integer("lane", 1, 1000);
    out.point.frequency = reader.quantity<Frequency>("frequency");
    out.level = reader.quantity<Level>("level");
    const auto expected = reader.quantity<Level>("expected");
    out.count = static_cast<int>(reader.integer("readings", 1, 1'000'000).value_or(1));
    out.instrument = reader.text("instrument").value_or("");
    if (!device || !port || !lane || !out.level || !expected) return std::nullopt;
    out.point.port = {*device, *port};
    out.point.lane = LaneNumber{static_cast<int>(*lane)};
    const auto now = expected_at(levels, out.point);
    if (now && std::abs(now->dbm() - expected->dbm()) <= kMoved) return out;
    findings.push_back({Severity::warning, "readings.baseline-outdated", to_text(out.point),
                        now ? "the plan expected " + to_text(*expected) + " when it was accepted and now " +
                                  to_text(*now)
                            : "the venue no longer has this point",
                        {}, "read the venue again and accept it anew", reader.place()});
    return std::nullopt;
}

}  // namespace

std::string write_baseline(const Venue& venue, const SignalPlan& plan,
                           const std::vector<PointReading>& readings) {
    const PlannedLevels levels(plan);
    std::string out = "# Accepted meter readings, for comparison with later ones.\n";
    const auto line = [&](std::string_view key, const std::string& value) {
        out.append(key).append(" = ").append(value).append("\n");
    };
    line("schema", toml_string(kSchema));
    line("venue", toml_string(venue.name));
    for (const auto& reading : readings) {
        const auto expected = expected_at(levels, reading.point);
        if (!reading.level || !expected) continue;
        out += "\n[[reading]]\n";
        line("device", toml_string(reading.point.port.device));
        line("port", toml_string(reading.point.port.port));
        line("lane", std::to_string(reading.point.lane.value));
        if (reading.point.frequency) line("frequency", toml_string(to_text(*reading.point.frequency)));
        line("level", toml_string(to_exact_text(*reading.level)));
        line("expected", toml_string(to_exact_text(*expected)));
        line("readings", std::to_string(reading.count));
        if (!reading.instrument.empty()) line("instrument", toml_string(reading.instrument));
    }
    return out;
}

std::optional<std::vector<PointReading>> read_baseline(const tree::Table& root,
                                                       const SignalPlan& plan, Findings& findings) {
    const auto before = std::count_if(findings.begin(), findings.end(), [](const Finding& f) {
        return f.severity == Severity::error;
    });
    TableReader reader(root, kRootDoc, findings);
    if (const auto schema = reader.text("schema"); schema && *schema != kSchema)
        reader.fault("readings.not-a-baseline", reader.place_of("schema"), "schema is '" + *schema + "'",
                     "it must be '" + std::string(kSchema) + "'; accept readings anew with --accept");
    const PlannedLevels levels(plan);
    std::vector<PointReading> out;
    std::set<MeterPoint> known;
    for (const auto* table : reader.tables("reading"))
        if (auto point = read_point(*table, levels, findings)) {
            if (known.insert(point->point).second) out.push_back(std::move(*point));
            else reader.fault("readings.twice", table->place, to_text(point->point) + " stands twice", "leave one out");
        }
    const auto after = std::count_if(findings.begin(), findings.end(), [](const Finding& f) {
        return f.severity == Severity::error;
    });
    if (after > before) return std::nullopt;
    return out;
}

}  // namespace mastline
