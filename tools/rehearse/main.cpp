// SPDX-License-Identifier: Apache-2.0
// mastline-rehearse: sends what a plan says, with asked-for faults, from a simulated head-end.
#include <algorithm>
#include <atomic>
#include <csignal>
#include <cstdio>
#include <system_error>
#include <thread>

#include <fmt/format.h>
#include <CLI/CLI.hpp>

#include "mastline/exit_status.hpp"
#include "mastline/missing_input.hpp"
#include "mastline/text/completion.hpp"
#include "mastline/text/escape.hpp"
#include "mastline/text/interface_names.hpp"
#include "mastline/text/manual_page.hpp"
#include "mastline/text/progress.hpp"
#include "mastline/text/refusal_text.hpp"
#include "mastline/text/usage_advice.hpp"
#include "tools/rehearse/announce/announcer.hpp"
#include "tools/rehearse/announce/session_files.hpp"
#include "tools/rehearse/fault/parse_fault.hpp"
#include "tools/rehearse/files.hpp"
#include "tools/rehearse/manual.hpp"
#include "tools/rehearse/options.hpp"
#include "tools/rehearse/plan_text.hpp"
#include "tools/rehearse/play/play_list.hpp"
#include "tools/rehearse/report/summary.hpp"
#include "tools/rehearse/send/file_outlet.hpp"
#include "tools/rehearse/send/line_up.hpp"
#include "tools/rehearse/send/live_run.hpp"
#include "tools/rehearse/send/schedule.hpp"
#include "tools/rehearse/send/sender_team.hpp"
#include "tools/rehearse/stream/check_sendable.hpp"
#include "version_text.hpp"

namespace {

using namespace mastline;

std::atomic<bool> stop_asked{false};
void ask_to_stop(int) {
    stop_asked.store(true, std::memory_order_relaxed);
}

constexpr UtcSeconds kWrittenFilesStart{std::chrono::sys_days{std::chrono::year{2026} / 1 / 1}};
constexpr Duration kWrittenFilesLength = std::chrono::seconds(10);
constexpr PcrTicks kForEver = std::chrono::hours(24 * 365);

int refuse(const Findings& findings) {
    for (const auto& finding : findings) fmt::print(stderr, "{}\n", plain_line(to_line(finding)));
    return static_cast<int>(ExitStatus::bad_input);
}

int refuse(ExitStatus status, const std::string& message) {
    fmt::print(stderr, "error: {}\n", message);
    return static_cast<int>(status);
}

void report(const Arguments& arguments, Summary& summary, const std::vector<const Schedule*>& schedules) {
    for (const auto* schedule : schedules) add_counts(summary, schedule->transmissions());
    if (arguments.json == "-") {
        fmt::print("{}", summary_json(summary));
        return;
    }
    if (!arguments.json.empty()) write_file(arguments.json, summary_json(summary));
    fmt::print("{}", summary_text(summary));
}

int write_files(const Arguments& arguments, const ExpectedLineup& lineup, const Wishes& wishes,
                const PlayList& plays) {
    const Duration length = wishes.duration.value_or(kWrittenFilesLength);
    Schedule schedule(line_up(lineup, wishes.faults, plays.source(),
                              {std::chrono::floor<PcrTicks>(length), kWrittenFilesStart}));
    FileOutlet outlet(arguments.write, lineup);
    while (schedule.due() < PcrTicks::max()) schedule.step(outlet);
    outlet.finish();
    Summary summary{&lineup};
    summary.sent_for = length;
    report(arguments, summary, {&schedule});
    return static_cast<int>(ExitStatus::good);
}

// What stands in the way of sending on the interface; empty when nothing does.
std::string obstacle(const Arguments& arguments, const ExpectedLineup& lineup,
                     const Interface& interface) {
    if (const auto reason = refusal(interface); reason && !arguments.allow_real_interface)
        return *reason;
    if (!interface.up)
        return fmt::format("interface {0} is down; ip link set {0} up", interface.name);
    std::string out;
    for (const auto& source : missing_sources(lineup, interface))
        out += fmt::format(
            "{}the plan sends from {}, which {} does not have; ip address add {}/{} dev {}",
            out.empty() ? "" : "\nerror: ", to_text(source), interface.name, to_text(source),
            source.is_v4() ? 32 : 128, interface.name);
    return out;
}

// An address of IPv6 that was just given to an interface sends only when nobody else answered for
// it, after about a second; one still tentative then fails where the socket is bound.
void wait_until_usable(const Interface& interface, const ExpectedLineup& lineup) {
    constexpr int most_tries = 40;
    for (int i = 0; i < most_tries; ++i) {
        const auto tentative = tentative_addresses(interface.name);
        const bool usable = std::none_of(lineup.flows.begin(), lineup.flows.end(), [&](const auto& flow) {
            return flow.source && std::find(tentative.begin(), tentative.end(), *flow.source) != tentative.end();
        });
        if (usable) return;
        std::this_thread::sleep_for(std::chrono::milliseconds(100));
    }
}

int send_live(const Arguments& arguments, const ExpectedLineup& lineup, const Wishes& wishes,
              const PlayList& plays, const std::vector<std::string>& sessions) {
    need_interface(arguments.interface);
    const Interface interface = find_interface(arguments.interface);
    if (const auto reason = obstacle(arguments, lineup, interface); !reason.empty())
        return refuse(ExitStatus::environment, reason);
    const PcrTicks end =
        wishes.duration ? std::chrono::floor<PcrTicks>(*wishes.duration) : kForEver;
    const auto utc = std::chrono::floor<std::chrono::seconds>(std::chrono::system_clock::now());
    wait_until_usable(interface, lineup);
    SenderTeam team(line_up(lineup, wishes.faults, plays.source(), {end, utc}), lineup, interface,
                    sender_threads(lineup, std::thread::hardware_concurrency()));
    std::signal(SIGINT, ask_to_stop);
    std::signal(SIGTERM, ask_to_stop);
    fmt::print(stderr, "sending {} streams on {}; Ctrl-C stops\n", lineup.flows.size(),
               interface.name);
    for (const auto& fault : wishes.faults)
        if (fault.kind == FaultKind::second_source)
            fmt::print(stderr, "second source of {}: {}\n", channel_text(lineup.flows[fault.flow]),
                       team.second_source_text(fault.flow));
    const auto started = std::chrono::steady_clock::now();
    const Punctuality punctuality = [&] {
        const Announcer announcer(lineup, sessions, wishes.scopes, interface);
        const ProgressTicker progress([&](Duration passed, std::size_t width) {
            return wishes.duration ? time_line(passed, *wishes.duration, {}, width) : std::string();
        });
        return team.run(end, stop_asked);
    }();
    Summary summary{&lineup};
    summary.sent_for = std::chrono::steady_clock::now() - started;
    summary.late = punctuality.late;
    summary.worst_lateness = std::chrono::floor<Duration>(punctuality.worst);
    summary.send_errors = team.errors().count;
    summary.last_error = team.errors().last;
    report(arguments, summary, team.schedules());
    return static_cast<int>(summary.send_errors == 0 ? ExitStatus::good : ExitStatus::environment);
}

int run(const Arguments& arguments) {
    if (arguments.list_faults) {
        fmt::print("{}", fault_list());
        return static_cast<int>(ExitStatus::good);
    }
    if (arguments.plan.empty() || arguments.interface.empty() == arguments.write.empty())
        return refuse(
            ExitStatus::bad_input,
            "write mastline-rehearse PLAN --interface IF, or PLAN --write DIR; --help tells more");
    if (arguments.announce && arguments.interface.empty())
        return refuse(ExitStatus::bad_input, "--announce needs --interface: files announce nothing");
    const std::string plan = plan_path(arguments.plan).string();
    need_input("plan", plan, kBuildWritesPlans);
    Findings findings;
    const auto lineup = lineup_from_text(read_file(plan), plan, findings);
    if (!lineup) return refuse(findings);
    const Wishes wishes = understand(arguments, *lineup, findings);
    const PlayList plays(wishes.plays, findings);
    std::vector<std::string> sessions;
    if (arguments.announce) sessions = session_files(plan, *lineup, findings);
    if (has_errors(findings)) return refuse(findings);
    return arguments.write.empty() ? send_live(arguments, *lineup, wishes, plays, sessions)
                                   : write_files(arguments, *lineup, wishes, plays);
}

}  // namespace

int main(int argc, char** argv) {
    Arguments arguments;
    CLI::App app(
        "Sends the streams of a plan from a simulated head-end, with faults where asked for.",
        "mastline-rehearse");
    add_completion(app);
    app.failure_message(usage_advice);
    add_manual(app, manual(), kReleaseDate);
    app.set_version_flag("--version", kVersionText);
    app.add_option("PLAN", arguments.plan, "Plan file (plan.toml)");
    app.add_option("--interface", arguments.interface,
                   "Where to send: loopback or one end of a veth pair")
        ->type_name("IF");
    app.add_option("--for", arguments.duration, "How long, such as \"30 s\"; until Ctrl-C when not given")->type_name("TIME");
    app.add_option("--fault", arguments.faults,
                   "CHANNEL:KIND[@START[+LENGTH]][,KEY=VALUE]; may be repeated")
        ->type_name("FAULT");
    app.add_option("--play", arguments.plays,
                   "CHANNEL=FILE: send a transport-stream file, looped; may be repeated")
        ->type_name("CHANNEL=FILE");
    app.add_flag("--announce", arguments.announce,
                 "Announce the sessions of sdp/ beside PLAN (SAP, RFC 2974)");
    app.add_option("--scope", arguments.scopes,
                   "Groups of an administrative scope of the site, announced on its highest; may be repeated")
        ->type_name("GROUPS");
    app.add_option("--write", arguments.write,
                   "Write each stream to DIR/CHANNEL.ts instead (10 s unless --for says else)")
        ->type_name("DIR");
    app.add_option("--json", arguments.json, "Write the summary as JSON, - for standard output")->type_name("FILE");
    app.add_flag("--list-faults", arguments.list_faults,
                 "List the kinds of fault and their parameters");
    app.add_flag("--allow-real-interface", arguments.allow_real_interface,
                 "Send on an interface that may lead to a real network");
    app.footer("Examples:\n"
               "  mastline-rehearse plan/plan.toml --interface lo --for \"30 s\"\n"
               "  mastline-rehearse plan/plan.toml --write streams --fault 101:no-component\n\n"
               "Exit status: 0 sent, 2 unusable plan, fault or usage, 3 the machine refused.");
    try {
        app.parse(argc, argv);
    } catch (const CLI::ParseError& error) {
        return app.exit(error) == 0 ? 0 : static_cast<int>(ExitStatus::bad_input);
    }
    try {
        return run(arguments);
    } catch (const UsageError& error) {
        return refuse(ExitStatus::bad_input, refusal_text(error));
    } catch (const std::exception& error) {
        return refuse(ExitStatus::environment, refusal_text(error));
    }
}
