// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "mastline/plan/kept_plan.hpp"
#include "mastline/text/did_you_mean.hpp"
#include "mastline/usage_error.hpp"
#include "planner/commands/command.hpp"
#include "planner/commands/findings_text.hpp"
#include "planner/commands/open_venue.hpp"
#include "planner/commands/output_files.hpp"
#include "planner/commands/plan_progress.hpp"
#include "planner/commands/what_if_report.hpp"

namespace mastline {

namespace {

struct ExplainOptions {
    std::string venue;
    std::vector<std::string> without;
    std::string json;  // file name; empty: none
};

PartLoss wanted_loss(const std::vector<PartLoss>& all, const std::string& name) {
    if (const auto loss = find_loss(all, name)) return *loss;
    std::vector<std::string> names, same;
    for (const auto& loss : all) {
        if (std::ranges::find(names, loss.name) == names.end()) names.push_back(loss.name);
        if (loss.name == name) same.push_back(std::string(to_text(loss.kind)) + ":" + loss.name);
    }
    if (!same.empty()) throw UsageError("--without: there is more than one '" + name + "'; say " + same[0] + " or " + same[1]);
    throw UsageError("--without: the plan rests on no part '" + name + "'; " + suggestion(name, names));
}

ExitStatus run_explain(const ExplainOptions& options) {
    const auto opened = open_venue(options.venue);
    if (!opened.usable()) {
        print(findings_text(opened.findings, terminal_style()) + "nothing is planned until the files are right\n");
        return ExitStatus::bad_input;
    }
    std::optional<PlanProgress> progress(false);
    const Plan plan = make_plan(opened.venue, {}, progress->sink());
    progress.reset();
    const auto all = possible_losses(opened.venue, plan);
    std::vector<PartLoss> losses;
    for (const auto& name : options.without) losses.push_back(wanted_loss(all, name));
    const WhatIf result = what_if(opened.venue, plan, losses);
    if (!options.json.empty()) write_text(options.json, what_if_json(opened.venue, result));
    if (options.json != "-") print(what_if_text(opened.venue, result));
    return result.dark_protected(opened.venue) ? ExitStatus::findings : ExitStatus::good;
}

}  // namespace

Command explain_command() {
    const auto options = std::make_shared<ExplainOptions>();
    return {"explain",
        "Say which channels are lost with a part, and where they could go",
        {{"VENUE", "Folder of the venue, or its venue.toml", &options->venue, true},
         {"--without", "Card, chassis, lane (FEED/NUMBER), supply, device or switch that fails; several fail together",
          &options->without, true, "PART"},
         {"--json", "Write the outcome as JSON to FILE, or - for here", &options->json, false, "FILE"}},
        "Where two parts share a name, put the kind before it: card:A1, lane:west/1, supply:psu-1.\n"
        "All channels that are hit are found a place together; what still runs stays where it is.\n\n"
        "Examples:\n"
        "  mastline-planner explain arena --without rx-1\n"
        "  mastline-planner explain arena --without lane:dish/1 enc-1 --json - | jq .dark\n\n"
        "Exit status: 0 no protected channel stays dark, 1 one does, 2 errors in the files or usage.",
        [options] { return run_explain(*options); }};
}

}  // namespace mastline
