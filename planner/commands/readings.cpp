// SPDX-License-Identifier: Apache-2.0
#include <memory>
#include <utility>

#include "mastline/missing_input.hpp"
#include "mastline/readings/baseline.hpp"
#include "mastline/readings/diagnosis.hpp"
#include "mastline/readings/read_readings.hpp"
#include "mastline/signal/make_signal_plan.hpp"
#include "mastline/text/progress.hpp"
#include "mastline/usage_error.hpp"
#include "mastline/venue/toml_file.hpp"
#include "planner/commands/command.hpp"
#include "planner/commands/findings_text.hpp"
#include "planner/commands/input_file.hpp"
#include "planner/commands/open_venue.hpp"
#include "planner/commands/output_files.hpp"
#include "planner/commands/readings_json.hpp"
#include "planner/commands/readings_text.hpp"

namespace mastline {

namespace {

struct ReadingsOptions {
    std::string venue, sheet;
    std::string json;      // file name; empty: none
    std::string baseline;  // to compare with; empty: none
    std::string accept;    // to be written; empty: none
    std::string meter = "1 dB";
};

Meter meter_of(const ReadingsOptions& options) {
    const auto accuracy = parse_gain(options.meter);
    if (!accuracy) throw UsageError("--meter: " + accuracy.error().message);
    if (*accuracy < Gain::db(0.1) || *accuracy > Gain::db(6))
        throw UsageError("--meter is " + to_text(*accuracy) + "; it must be 0.1 dB to 6 dB");
    return {*accuracy};
}

std::string text_of(const std::string& path, std::string_view what, std::string_view cure) {
    auto text = read_file(path);
    if (!text) miss_input(what, path, cure);
    return std::move(*text);
}

// Everything that was read; the findings have errors where it cannot be used.
struct Input {
    std::string venue;
    Findings findings;
    SignalPlan plan;
    std::vector<PointReading> readings, baseline;
};

void read_sheets(const ReadingsOptions& options, const Venue& venue, Input& in) {
    const auto sheet = text_of(options.sheet, "sheet of readings",
                               "mastline-planner build VENUE --out FOLDER writes FOLDER/readings.csv to fill in");
    in.readings = averaged(read_readings(sheet, options.sheet, venue, in.plan, in.findings));
    if (in.readings.empty() && !has_errors(in.findings))
        in.findings.push_back({Severity::error, "readings.none", {}, "no level is filled in", {},
                               "write what the meter showed into the column 'level'", {options.sheet}});
    if (options.baseline.empty()) return;
    const auto text = text_of(options.baseline, "baseline", "--accept FILE keeps readings as one");
    if (const auto root = read_toml(text, options.baseline, in.findings))
        if (auto baseline = read_baseline(*root, in.plan, in.findings)) in.baseline = std::move(*baseline);
}

// Only what agrees with the plan may become the measure of later readings.
std::string accept(const ReadingsOptions& options, const Venue& venue, const Input& in, const Diagnosis& diagnosis) {
    if (options.accept.empty()) return "";
    if (diagnosis.verdict != ReadingsVerdict::good)
        return "\nnot accepted as a baseline: put right what is at fault and read again\n";
    write_text(options.accept, write_baseline(venue, in.plan, in.readings));
    return "\naccepted as the baseline: " + options.accept + "\n";
}

ExitStatus run_readings(const ReadingsOptions& options) {
    const auto meter = meter_of(options);
    auto opened = open_venue(options.venue);
    Input in;
    in.venue = opened.venue.name;
    in.findings = std::move(opened.findings);
    if (!has_errors(in.findings)) {
        Findings planned;  // what check says, not what this is asked
        in.plan = make_signal_plan(opened.venue, planned);
        in.findings.clear();
        read_sheets(options, opened.venue, in);
    }
    std::optional<Diagnosis> diagnosis;
    const auto style = terminal_style();
    std::string text = findings_text(in.findings, style);
    if (has_errors(in.findings)) {
        text += "nothing is judged until the files are right\n" + counts_text(in.findings) + "\n";
    } else {
        {
            PartProgress progress("weighing faults");
            diagnosis = diagnose(opened.venue, in.plan, in.readings, in.baseline, meter, [&](double part) { progress.done(part); });
        }
        text += readings_text(*diagnosis, meter, style) + accept(options, opened.venue, in, *diagnosis);
    }
    if (!options.json.empty())
        write_text(options.json, readings_json(in.venue, in.findings, meter, diagnosis));
    if (options.json != "-") print(text);
    if (!diagnosis) return ExitStatus::bad_input;
    return diagnosis->verdict == ReadingsVerdict::good ? ExitStatus::good : ExitStatus::findings;
}

}  // namespace

Command readings_command() {
    const auto options = std::make_shared<ReadingsOptions>();
    return {"readings",
        "Say from meter readings which part is at fault",
        {{"VENUE", "Folder of the venue, or its venue.toml", &options->venue, true},
         {"SHEET", "CSV with the readings; build writes one to fill in", &options->sheet, true},
         {"--json", "Write the diagnosis as JSON to FILE, or - for here", &options->json, false, "FILE"},
         {"--baseline", "Accepted readings to compare with", &options->baseline, false, "FILE"},
         {"--accept", "Keep these readings as a baseline in FILE if all is right",
          &options->accept, false, "FILE"},
         {"--meter", "Accuracy of the meter, plus or minus; default 1 dB", &options->meter, false, "GAIN"}},
        "Examples:\n"
        "  mastline-planner build arena --out out      # out/readings.csv has the blanks\n"
        "  mastline-planner readings arena out/readings.csv\n"
        "  mastline-planner readings arena monday.csv --accept arena/baseline.toml\n"
        "  mastline-planner readings arena today.csv --baseline arena/baseline.toml\n\n"
        "Exit status: 0 all within meter and tolerances, 1 a part is at fault or may be, 2 errors in the files.",
        [options] { return run_readings(*options); }};
}

}  // namespace mastline
