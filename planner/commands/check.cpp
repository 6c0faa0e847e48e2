// SPDX-License-Identifier: Apache-2.0
#include <memory>
#include <utility>

#include "mastline/plan/kept_plan.hpp"
#include "planner/commands/check_json.hpp"
#include "planner/commands/command.hpp"
#include "planner/commands/findings_text.hpp"
#include "planner/commands/open_venue.hpp"
#include "planner/commands/output_files.hpp"
#include "planner/commands/plan_progress.hpp"
#include "planner/commands/report_findings.hpp"

namespace mastline {

namespace {

struct CheckOptions {
    std::string venue;
    std::string json;  // file name; empty: none
};

ExitStatus run_check(const CheckOptions& options) {
    auto opened = open_venue(options.venue);
    std::optional<PlanSummary> summary;
    Findings findings = std::move(opened.findings);
    if (!has_errors(findings)) {
        const Plan plan = [&] {
            PlanProgress progress(false);
            return make_plan(opened.venue, {}, progress.sink());
        }();
        summary = summary_of(opened.venue, plan);
        findings.insert(findings.end(), plan.findings.begin(), plan.findings.end());
    }
    if (!options.json.empty())
        write_text(options.json, check_json(opened.venue.name, findings, summary));
    if (options.json != "-") print(report_text(findings, summary, terminal_style()));
    return status_of(findings, summary.has_value());
}

}  // namespace

Command check_command() {
    const auto options = std::make_shared<CheckOptions>();
    return {"check",
        "Say what is wrong with a venue or its plan",
        {{"VENUE", "Folder of the venue, or its venue.toml", &options->venue, true},
         {"--json", "Write the findings as JSON to FILE, or - for here", &options->json, false, "FILE"}},
        "Examples:\n"
        "  mastline-planner check arena\n"
        "  mastline-planner check arena --json - | jq '.findings[] | select(.severity == \"error\")'\n\n"
        "Exit status: 0 nothing worse than a warning, 1 errors in the plan, 2 errors in the files.",
        [options] { return run_check(*options); }};
}

}  // namespace mastline
