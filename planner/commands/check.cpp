// SPDX-License-Identifier: Apache-2.0
#include <memory>
#include <utility>

#include "planner/commands/check_json.hpp"
#include "planner/commands/command.hpp"
#include "planner/commands/findings_text.hpp"
#include "planner/commands/open_venue.hpp"
#include "planner/commands/output_files.hpp"
#include "planner/commands/report_findings.hpp"

namespace mastline {

namespace {

struct Options {
    std::string venue;
    std::string json;  // file name; empty: none
};

ExitStatus run(const Options& options) {
    auto opened = open_venue(options.venue);
    std::optional<PlanSummary> summary;
    Findings findings = std::move(opened.findings);
    if (!has_errors(findings)) {
        const Plan plan = make_plan(opened.venue);
        summary = summary_of(opened.venue, plan);
        findings.insert(findings.end(), plan.findings.begin(), plan.findings.end());
    }
    if (!options.json.empty())
        write_text(options.json, check_json(opened.venue.name, findings, summary));
    if (options.json != "-") print(report_text(findings, summary, terminal_style()));
    return status_of(findings, summary.has_value());
}

}  // namespace

void add_check(CLI::App& app, Command& chosen) {
    const auto options = std::make_shared<Options>();
    auto* command = app.add_subcommand("check", "Say what is wrong with a venue or its plan");
    command->add_option("VENUE", options->venue, "Folder of the venue, or its venue.toml")->required();
    command->add_option("--json", options->json, "Write the findings as JSON to FILE, or - for here")
        ->type_name("FILE");
    command->footer(
        "Examples:\n"
        "  mastline-planner check arena\n"
        "  mastline-planner check arena --json - | jq '.findings[] | select(.severity == \"error\")'\n\n"
        "Exit status: 0 nothing worse than a warning, 1 errors in the plan, 2 errors in the files.");
    command->callback([options, &chosen] { chosen = [options] { return run(*options); }; });
}

}  // namespace mastline
