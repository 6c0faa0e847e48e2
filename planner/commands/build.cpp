// SPDX-License-Identifier: Apache-2.0
#include <chrono>
#include <memory>
#include <utility>

#include "mastline/text/escape.hpp"
#include "mastline/usage_error.hpp"
#include "planner/commands/command.hpp"
#include "planner/commands/input_file.hpp"
#include "planner/commands/kept_file.hpp"
#include "planner/commands/open_venue.hpp"
#include "planner/commands/output_files.hpp"
#include "planner/commands/plan_files.hpp"
#include "planner/commands/plan_progress.hpp"
#include "planner/commands/report_findings.hpp"
#include "planner/commands/stale_files.hpp"

namespace mastline {

namespace {

namespace fs = std::filesystem;

struct BuildOptions {
    std::string venue;
    std::string out;
    std::string keep;   // file name; empty: none
    std::string today;  // "2026-03-01"; empty: the machine's date
};

// The lineup written over the channel list it was made from would be lost.
void refuse_own_files(const std::vector<OutputFile>& files, const std::vector<fs::path>& sources) {
    for (const auto& file : files)
        for (const auto& source : sources) {
            std::error_code ignored;  // a file that is not there is no source
            if (fs::equivalent(file.path, source, ignored))
                throw UsageError(file.path.string() +
                                 " is a file of the venue; name another folder with --out");
        }
}

std::chrono::sys_days day_of(const BuildOptions& options) {
    if (options.today.empty())
        return std::chrono::floor<std::chrono::days>(std::chrono::system_clock::now());
    const auto day = parse_day(options.today);
    if (!day) throw UsageError("--today " + options.today + " is no day; write it as 2026-03-01");
    return *day;
}

// The plan, after the earlier one where one is to be kept; none when that cannot be read.
std::optional<Plan> plan_of(const Venue& venue, const BuildOptions& options, Findings& findings, PlanProgress& progress) {
    if (options.keep.empty()) return make_plan(venue, {}, progress.sink());
    auto kept = kept_file(options.keep, findings);
    if (!kept) return std::nullopt;
    kept->addresses.today = day_of(options);
    return make_plan(venue, *kept, progress.sink());
}

// Receivers know the sessions that stand beside the kept plan, else those written here before.
fs::path sessions_before(const BuildOptions& options) {
    return (options.keep.empty() ? fs::path(options.out) : fs::path(options.keep).parent_path()) / "sdp";
}

std::string written_text(const std::vector<OutputFile>& files, const fs::path& folder) {
    return "wrote " + std::to_string(files.size()) + " files to " + plain_line(folder.string()) + "\n";
}

void write_and_tidy(const std::vector<OutputFile>& files, const fs::path& folder) {
    const auto stale = stale_files(folder, files);
    write_files(files);
    for (const auto& path : stale) fs::remove(path);
}

ExitStatus run_build(const BuildOptions& options) {
    auto opened = open_venue(options.venue);
    const auto style = terminal_style();
    std::optional<PlanProgress> progress(true);
    const auto plan = opened.usable() ? plan_of(opened.venue, options, opened.findings, *progress) : std::nullopt;
    if (!plan) {
        progress.reset();
        print(report_text(opened.findings, std::nullopt, style));
        return ExitStatus::bad_input;
    }
    progress->files();
    const auto files = plan_files(opened.venue, *plan, options.out, [&](const std::string& name) {
        return read_file(sessions_before(options) / name);
    });
    refuse_own_files(files, opened.files());
    write_and_tidy(files, options.out);
    progress.reset();  // clears its line
    print(report_text(plan->findings, summary_of(opened.venue, *plan), style) +
          written_text(files, options.out));
    return status_of(plan->findings, true);
}

}  // namespace

Command build_command() {
    const auto options = std::make_shared<BuildOptions>();
    return {"build",
        "Plan a venue and write everything it needs on site",
        {{"VENUE", "Folder of the venue, or its venue.toml", &options->venue, true},
         {"--out", "Folder for the files; made if need be", &options->out, true, "DIR"},
         {"--keep", "An earlier plan.toml: channels stay on their cards and groups where they can",
          &options->keep, false, "PLAN"},
         {"--today", "Day from which freed groups rest, with --keep; default the machine's date",
          &options->today, false, "DATE", {}, "--keep"}},
        "Writes plan.toml, sheets.html and each sheet on its own in sheets/, plan.xlsx, lists as CSV\n"
        "(channels, wiring, settings, parts, power, addresses, loads), lineup.xspf,\n"
        "sdp/NUMBER.sdp and, for each switch, snooping/SWITCH.json (RFC 9166).\n"
        "With errors in the plan the sheets are written too, the findings on top.\n\n"
        "Examples:\n"
        "  mastline-planner build arena --out arena-plan\n"
        "  mastline-planner build arena --out arena-plan --keep arena-plan/plan.toml\n\n"
        "Exit status: 0 good, 1 errors in the plan, 2 errors in the files (nothing is written),\n"
        "3 the machine refused.",
        [options] { return run_build(*options); }};
}

}  // namespace mastline
