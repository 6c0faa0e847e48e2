// SPDX-License-Identifier: Apache-2.0
// mastline-rehearse: sends what a plan says, with asked-for faults, from a simulated head-end.
#include <atomic>
#include <csignal>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <memory>
#include <system_error>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include "mastline/exit_status.hpp"
#include "tools/rehearse/fault/parse_fault.hpp"
#include "tools/rehearse/options.hpp"
#include "tools/rehearse/plan_text.hpp"
#include "tools/rehearse/play/mapped_file.hpp"
#include "tools/rehearse/play/played_stream.hpp"
#include "tools/rehearse/report/summary.hpp"
#include "tools/rehearse/send/file_outlet.hpp"
#include "tools/rehearse/send/line_up.hpp"
#include "tools/rehearse/send/live_run.hpp"
#include "tools/rehearse/send/schedule.hpp"
#include "tools/rehearse/send/socket_outlet.hpp"
#include "tools/rehearse/stream/check_sendable.hpp"

namespace {

using namespace mastline;

std::atomic<bool> stop_asked{false};
void ask_to_stop(int) { stop_asked.store(true, std::memory_order_relaxed); }

constexpr UtcSeconds kWrittenFilesStart{std::chrono::sys_days{std::chrono::year{2026} / 1 / 1}};
constexpr Duration kWrittenFilesLength = std::chrono::seconds(10);
constexpr PcrTicks kForEver = std::chrono::hours(24 * 365);

std::string read_file(const std::string& name) {
    std::ifstream file(name, std::ios::binary);
    std::string text{std::istreambuf_iterator<char>(file), {}};
    if (!file || std::filesystem::is_directory(name))
        throw std::system_error(errno != 0 ? errno : EISDIR, std::generic_category(), name);
    return text;
}

void write_text(const std::string& name, const std::string& text) {
    if (name == "-") {
        fmt::print("{}", text);
        return;
    }
    const std::string beside = name + ".part";
    std::ofstream(beside, std::ios::binary) << text << std::flush;
    std::filesystem::rename(beside, name);
}

// The files to be played instead of made streams.
class Plays {
public:
    void open(const std::vector<PlayRequest>& requests, Findings& findings) {
        for (const auto& request : requests) {
            const std::string option = "--play " + request.file;
            try {
                auto file = std::make_unique<MappedFile>(request.file);
                if (auto index = index_stream(file->bytes()))
                    plays_[request.flow] = {std::move(file), std::move(*index)};
                else findings.push_back({Severity::error, "usage.unplayable-file", option, index.error()});
            } catch (const std::system_error& error) {
                findings.push_back({Severity::error, "usage.unreadable-file", option, error.what()});
            }
        }
    }
    PlayedSource source() const {
        return [this](std::size_t flow, PcrTicks start) -> std::unique_ptr<PacketSource> {
            const auto play = plays_.find(flow);
            if (play == plays_.end()) return nullptr;
            return std::make_unique<PlayedStream>(play->second.file->bytes(), play->second.index, start);
        };
    }

private:
    struct Play {
        std::unique_ptr<MappedFile> file;
        PlayedIndex index;
    };
    std::map<std::size_t, Play> plays_;
};

int refuse(const Findings& findings) {
    for (const auto& finding : findings) fmt::print(stderr, "{}\n", to_line(finding));
    return static_cast<int>(ExitStatus::bad_input);
}

int refuse(ExitStatus status, const std::string& message) {
    fmt::print(stderr, "error: {}\n", message);
    return static_cast<int>(status);
}

void report(const Arguments& arguments, Summary& summary, const Schedule& schedule) {
    add_counts(summary, schedule.transmissions());
    if (!arguments.json.empty()) write_text(arguments.json, summary_json(summary));
    if (arguments.json != "-") fmt::print("{}", summary_text(summary));
}

int write_files(const Arguments& arguments, const ExpectedLineup& lineup, const Wishes& wishes, const Plays& plays) {
    const Duration length = wishes.duration.value_or(kWrittenFilesLength);
    Schedule schedule(line_up(lineup, wishes.faults, plays.source(), {std::chrono::floor<PcrTicks>(length), kWrittenFilesStart}));
    FileOutlet outlet(arguments.write, lineup);
    while (schedule.due() < PcrTicks::max()) schedule.step(outlet);
    outlet.finish();
    Summary summary{&lineup};
    summary.sent_for = length;
    report(arguments, summary, schedule);
    return static_cast<int>(ExitStatus::good);
}

// What stands in the way of sending on the interface; empty when nothing does.
std::string obstacle(const Arguments& arguments, const ExpectedLineup& lineup, const Interface& interface) {
    if (const auto reason = refusal(interface); reason && !arguments.allow_real_interface) return *reason;
    if (!interface.up) return fmt::format("interface {0} is down; ip link set {0} up", interface.name);
    std::string out;
    for (const auto& source : missing_sources(lineup, interface))
        out += fmt::format("{}the plan sends from {}, which {} does not have; ip address add {}/{} dev {}",
                           out.empty() ? "" : "\nerror: ", to_text(source), interface.name, to_text(source),
                           source.is_v4() ? 32 : 128, interface.name);
    return out;
}

int send_live(const Arguments& arguments, const ExpectedLineup& lineup, const Wishes& wishes, const Plays& plays) {
    const Interface interface = find_interface(arguments.interface);
    if (const auto reason = obstacle(arguments, lineup, interface); !reason.empty())
        return refuse(ExitStatus::environment, reason);
    const PcrTicks end = wishes.duration ? std::chrono::floor<PcrTicks>(*wishes.duration) : kForEver;
    const auto utc = std::chrono::floor<std::chrono::seconds>(std::chrono::system_clock::now());
    Schedule schedule(line_up(lineup, wishes.faults, plays.source(), {end, utc}));
    SocketOutlet outlet(lineup, interface);
    std::signal(SIGINT, ask_to_stop);
    std::signal(SIGTERM, ask_to_stop);
    fmt::print(stderr, "sending {} streams on {}; Ctrl-C stops\n", lineup.flows.size(), interface.name);
    for (const auto& fault : wishes.faults)
        if (fault.kind == FaultKind::second_source)
            fmt::print(stderr, "second source of {}: {}\n", channel_text(lineup.flows[fault.flow]),
                       outlet.second_source_text(fault.flow));
    const auto started = std::chrono::steady_clock::now();
    const Punctuality punctuality = run_live(schedule, outlet, end, stop_asked);
    Summary summary{&lineup};
    summary.sent_for = std::chrono::steady_clock::now() - started;
    summary.late = punctuality.late;
    summary.worst_lateness = std::chrono::floor<Duration>(punctuality.worst);
    summary.send_errors = outlet.errors().count;
    summary.last_error = outlet.errors().last;
    report(arguments, summary, schedule);
    return static_cast<int>(summary.send_errors == 0 ? ExitStatus::good : ExitStatus::environment);
}

int run(const Arguments& arguments) {
    if (arguments.list_faults) {
        fmt::print("{}", fault_list());
        return static_cast<int>(ExitStatus::good);
    }
    if (arguments.plan.empty() || arguments.interface.empty() == arguments.write.empty())
        return refuse(ExitStatus::bad_input,
                      "write mastline-rehearse PLAN --interface IF, or PLAN --write DIR; --help tells more");
    std::string text;
    try {
        text = read_file(arguments.plan);
    } catch (const std::system_error& error) {
        return refuse(ExitStatus::bad_input, error.what());
    }
    Findings findings;
    const auto lineup = lineup_from_text(text, arguments.plan, findings);
    if (!lineup) return refuse(findings);
    const Wishes wishes = understand(arguments, *lineup, findings);
    Plays plays;
    plays.open(wishes.plays, findings);
    if (has_errors(findings)) return refuse(findings);
    return arguments.write.empty() ? send_live(arguments, *lineup, wishes, plays)
                                   : write_files(arguments, *lineup, wishes, plays);
}

}  // namespace

int main(int argc, char** argv) {
    Arguments arguments;
    CLI::App app("Sends the streams of a plan from a simulated head-end, with faults where asked for.");
    app.add_option("PLAN", arguments.plan, "plan file (plan.toml)");
    app.add_option("--interface", arguments.interface, "where to send: loopback or one end of a veth pair");
    app.add_option("--for", arguments.duration, "how long, \"30s\"; until Ctrl-C when not given");
    app.add_option("--fault", arguments.faults, "CHANNEL:KIND[@START[+LENGTH]][,KEY=VALUE]; may be repeated");
    app.add_option("--play", arguments.plays, "CHANNEL=FILE: send a transport-stream file, looped; may be repeated");
    app.add_option("--write", arguments.write, "write each stream to DIR/CHANNEL.ts instead (10 s unless --for says else)");
    app.add_option("--json", arguments.json, "write the summary as JSON, - for standard output");
    app.add_flag("--list-faults", arguments.list_faults, "list the kinds of fault and their parameters");
    app.add_flag("--allow-real-interface", arguments.allow_real_interface, "send on an interface that may lead to a real network");
    try {
        app.parse(argc, argv);
    } catch (const CLI::ParseError& error) {
        return app.exit(error) == 0 ? 0 : static_cast<int>(ExitStatus::bad_input);
    }
    try {
        return run(arguments);
    } catch (const std::exception& error) {
        return refuse(ExitStatus::environment, error.what());
    }
}
