// SPDX-License-Identifier: Apache-2.0
#include <memory>
#include <optional>
#include <string>

#include "mastline/expectation/read_plan.hpp"
#include "mastline/missing_input.hpp"
#include "mastline/plan/kept_plan.hpp"
#include "mastline/text/progress.hpp"
#include "mastline/venue/toml_file.hpp"
#include "planner/commands/change_report.hpp"
#include "planner/commands/command.hpp"
#include "planner/commands/findings_text.hpp"
#include "planner/commands/input_file.hpp"
#include "planner/commands/output_files.hpp"

namespace mastline {

namespace {

struct CompareOptions {
    std::string from, to;
    std::string json;  // file name; empty: none
};

struct PlanFile {
    ExpectedLineup lineup;
    std::vector<KeptHome> homes;
};

// A plan file, or the folder that it was built into. None: `findings` say why.
std::optional<PlanFile> open_plan(const std::string& given, Findings& findings) {
    const auto path = plan_path(given);
    const auto text = read_file(path);
    if (!text) miss_input("plan", path, kBuildWritesPlans);
    const auto root = read_toml(*text, path.string(), findings);
    if (!root) return std::nullopt;
    auto kept = read_kept_plan(*root, findings);
    if (!kept) return std::nullopt;
    Findings seen_already;
    return PlanFile{*read_plan(*root, seen_already), std::move(kept->homes)};
}

ExitStatus run_compare(const CompareOptions& options) {
    Findings findings;
    std::optional<PartProgress> progress("plans");
    const auto from = open_plan(options.from, findings);
    progress->done(0.48);  // of plans of one size; what moves is found in next to no time
    const auto to = open_plan(options.to, findings);
    progress->done(0.96);
    if (!from || !to) {
        progress.reset();  // clears its line
        print(findings_text(findings, terminal_style()));
        return ExitStatus::bad_input;
    }
    const auto order = change_order(from->lineup, from->homes, to->lineup, to->homes);
    progress.reset();
    if (!options.json.empty()) write_text(options.json, change_json(order));
    if (options.json != "-") print(change_text(order));
    return ExitStatus::good;
}

}  // namespace

Command compare_command() {
    const auto options = std::make_shared<CompareOptions>();
    return {"compare",
        "Say how to get from one plan to the next on a live site",
        {{"OLD", "The plan in force: its plan.toml, or the folder it was built into", &options->from, true},
         {"NEW", "The plan to come", &options->to, true},
         {"--json", "Write the change order as JSON to FILE, or - for here", &options->json, false, "FILE"}},
        "The steps keep every group at one sender, every card within what the fuller plan gives it,\n"
        "and every channel as short in the dark as can be.\n\n"
        "Examples:\n"
        "  mastline-planner compare old-plan new-plan\n"
        "  mastline-planner compare old-plan/plan.toml new-plan/plan.toml --json change.json\n\n"
        "Exit status: 0 good, 2 errors in the plan files or usage.",
        [options] { return run_compare(*options); }};
}

}  // namespace mastline
