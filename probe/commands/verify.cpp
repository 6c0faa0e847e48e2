// SPDX-License-Identifier: Apache-2.0
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <iostream>
#include <memory>

#include <nlohmann/json.hpp>

#include "mastline/report/junit.hpp"
#include "mastline/report/lineup_json.hpp"
#include "mastline/report/page.hpp"
#include "mastline/source/interface_addresses.hpp"
#include "mastline/text/interface_names.hpp"
#include "mastline/verdict/querier.hpp"
#include "mastline/verdict/unasked.hpp"
#include "probe/commands/commands.hpp"
#include "probe/commands/evidence_files.hpp"
#include "probe/commands/listening.hpp"
#include "probe/commands/make_stills.hpp"
#include "probe/commands/output.hpp"

namespace mastline {

namespace {

constexpr Duration kMostLeaving = std::chrono::minutes(5);

struct VerifyOptions {
    std::string plan, interface, length = "10 s", listen = "sockets", json, junit, html, evidence, leave;
    bool stills = false;
};

bool is_planned(const ExpectedLineup& plan, const FlowObservation& f) {
    return std::ranges::any_of(plan.flows, [&](const Expectation& e) {
        return destination_of(e.flow) == f.destination;
    });
}

QuerierJudgement querier_of(const ExpectedLineup& plan, const WatchSink& sink, const Listening& listening,
                            const Watch& watch) {
    QuerierJudgement out;
    out.queriers = sink.membership().observe().queriers;
    const bool all_v6 = std::ranges::none_of(plan.flows, [](const Expectation& e) {
        return e.flow.group.address().is_v4();
    });
    out.check = judge_querier(out.queriers, all_v6 ? IpVersion::v6 : IpVersion::v4, watch);
    if (const auto blind = listening.blind_to_membership(); !blind.empty())
        out.check = {"network.querier", Outcome::not_judged, "one querier", {}, blind};
    return out;
}

LineupReport report_on(const ExpectedLineup& plan, const VerifyOptions& options, WatchSink& sink,
                       const Watch& watch, const Listening& listening) {
    LineupReport out;
    out.venue = plan.venue;
    out.revision = plan.revision;
    out.where = "interface " + options.interface;
    out.watched = watch.length();
    out.began = watch.start;
    for (auto& f : sink.flows().observe())
        (is_planned(plan, f) ? out.observations : out.unasked).push_back(std::move(f));
    out.own_drops = listening.own_drops();
    out.verdicts = judge_all(plan, out.observations, watch);
    out.querier = querier_of(plan, sink, listening, watch);
    out.network = judge_unasked(plan, out.unasked);
    return out;
}

// Joining is always measured, leaving where `leave` is longer than nothing.
void add_latencies(const ExpectedLineup& plan, const VerifyOptions& options, Duration leave, WatchSink& sink,
                   Listening& listening, LineupReport& report) {
    const auto own = interface_addresses(options.interface);
    report.latencies = measure_joins(plan, listening.joined(), sink.membership().observe(), own, report.observations);
    if (leave > Duration{}) {
        const auto after = watch_leaving(listening, sink, leave);
        if (after) measure_leaves(report.latencies, *after, sink.membership().observe(), own);
        else report.network.push_back({"flow.leave", Outcome::not_judged, {}, {}, "sockets see nothing after a leave; listen by the ring"});
    }
    judge_latencies(report.verdicts, report.latencies);
}

void write_lineup_reports(const LineupReport& report, const VerifyOptions& options) {
    if (options.json != "-" && options.junit != "-")
        std::cout << terminal_lineup(report, terminal_style(STDOUT_FILENO)) << std::flush;
    if (!options.json.empty()) write_output(options.json, json_text(lineup_json(report)));
    if (!options.junit.empty()) write_output(options.junit, junit_text(report));
    if (!options.html.empty()) write_output(options.html, lineup_page(report, folder_from_page(options.evidence, options.html)));
}

ExitStatus run_verify(const VerifyOptions& options) {
    const auto length = parse_duration(options.length);
    if (!length || *length <= Duration{}) {
        std::cerr << "--for: " << (length ? "\"" + options.length + "\" is no time to watch" : length.error().message) << "\n";
        return ExitStatus::bad_input;
    }
    const auto leave = options.leave.empty() ? Parsed<Duration, UnitFault>(Duration{}) : parse_duration(options.leave);
    if (!leave || *leave > kMostLeaving || (!options.leave.empty() && *leave <= Duration{})) {
        std::cerr << "--leave: " << (leave ? "\"" + options.leave + "\" is outside 0 to 5 min" : leave.error().message) << "\n";
        return ExitStatus::bad_input;
    }
    if (options.stills) need_still_program();
    const auto plan = open_plan(options.plan);
    if (!plan) return ExitStatus::bad_input;
    WatchSink sink;
    const std::size_t kept = options.evidence.empty() ? 0 : recorded_bytes(plan->flows.size());
    expect_lineup(sink.flows(), *plan, kept);
    if (options.stills) want_stills(sink.flows(), *plan);
    need_interface(options.interface);
    const auto flows = wanted_flows(*plan);
    const auto listening = options.listen == "ring" ? listen_by_ring(options.interface, flows)
                                                    : listen_by_sockets(options.interface, flows);
    for (const auto& path : {options.json, options.junit, options.html}) need_writable(path);
    if (!options.evidence.empty()) {
        std::filesystem::create_directories(options.evidence);
        need_writable(options.evidence + "/index.html");
    }
    const Watch watch = watch_live(*listening, sink, *length);
    LineupReport report = report_on(*plan, options, sink, watch, *listening);
    add_latencies(*plan, options, *leave, sink, *listening, report);
    report.explanations = explain(report.verdicts);
    if (!options.evidence.empty())
        write_evidence(options.evidence, *plan, sink, listening->blind_to_membership(), report);
    if (options.stills) report.stills = make_stills(sink.flows(), report.verdicts);
    write_lineup_reports(report, options);
    return report.outcome() == Outcome::passed ? ExitStatus::good : ExitStatus::findings;
}

}  // namespace

void add_verify_command(CLI::App& app, ExitStatus& status) {
    auto options = std::make_shared<VerifyOptions>();
    auto* command = app.add_subcommand("verify", "Joins every group of a plan and judges what arrives.");
    command->add_option("--plan", options->plan, "The plan (plan.toml)")->type_name("PLAN")->required();
    command->add_option("--interface", options->interface, "Network interface to join on")->type_name("IF")->required();
    command->add_option("--for", options->length, "How long to watch")->type_name("TIME")->capture_default_str();
    command->add_option("--listen", options->listen,
                        "sockets: no privilege needed; ring: capture, sees unasked-for groups too")
        ->check(CLI::IsMember({"sockets", "ring"}))
        ->capture_default_str();
    command->add_option("--leave", options->leave,
                        "At the end leave every group and watch for so long what still comes (with --listen ring)")->type_name("TIME");
    command->add_option("--json", options->json, "Write everything as JSON; - is standard output")->type_name("FILE");
    command->add_option("--junit", options->junit, "Write the verdicts as JUnit XML; - is standard output")->type_name("FILE");
    command->add_option("--html", options->html, "Write a page for screen and paper")->type_name("FILE");
    command->add_option("--evidence", options->evidence,
                        "Folder for a short capture of each failed verdict, and a page that says what to look at")->type_name("FOLDER");
    command->add_flag("--stills", options->stills, "A still of each channel in the page, decoded by a process of its own that is shut in")->needs("--html");
    command->footer("Examples:\n"
                    "  mastline-probe verify --plan plan/plan.toml --interface eth0\n"
                    "  mastline-probe verify --plan plan/plan.toml --interface eth0 --for \"2 min\" "
                    "--json result.json --html result.html --stills\n"
                    "  mastline-probe verify --plan plan/plan.toml --interface eth0 --listen ring --evidence evidence --leave \"5 s\"");
    command->callback([options, &status] { status = run_verify(*options); });
}

}  // namespace mastline
