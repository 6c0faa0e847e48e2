// SPDX-License-Identifier: Apache-2.0
#include <unistd.h>

#include <algorithm>
#include <iostream>
#include <memory>
#include <thread>

#include <nlohmann/json.hpp>

#include "mastline/missing_input.hpp"
#include "mastline/report/lineup_json.hpp"
#include "mastline/report/page.hpp"
#include "mastline/text/escape.hpp"
#include "mastline/usage_error.hpp"
#include "probe/commands/commands.hpp"
#include "probe/commands/evidence_files.hpp"
#include "probe/commands/make_stills.hpp"
#include "probe/commands/output.hpp"
#include "probe/commands/read_files.hpp"

namespace mastline {

namespace {

struct ReadOptions {
    std::vector<std::string> files;
    std::string plan, json, html, evidence;
    unsigned threads = 0;
    bool stills = false;
};

struct Results {
    std::vector<FileReport> files;
    std::vector<LineupReport> lineups;
    bool unusable = false;
};

constexpr unsigned kMostThreads = 64;

unsigned threads_of(const ReadOptions& options) {
    return options.threads > 0 ? options.threads : std::clamp(std::thread::hardware_concurrency(), 1U, kMostThreads);
}

void read_one(const std::string& path, const ExpectedLineup* plan, const LineupWishes& wishes, unsigned threads,
              Results& results) {
    need_input("capture or transport-stream file", path, "give the path of a .pcap, .pcapng or .ts file");
    auto read = read_any_file(path, plan, wishes, threads);
    if (!read) {
        std::cerr << plain_line(path) << ": error: file.unknown-kind: neither a capture (pcap, pcapng) nor a "
                     "transport stream: nowhere five sync bytes 188, 192 or 204 bytes apart\n";
        results.unusable = true;
        return;
    }
    if (plan != nullptr && !read->lineup) {
        std::cerr << plain_line(path) << ": error: file.no-groups: a transport-stream file has no groups to "
                     "compare with a plan; give a capture\n";
        results.unusable = true;
    }
    results.files.push_back(std::move(read->report));
    if (read->lineup) results.lineups.push_back(std::move(*read->lineup));
}

// Of the file at that place; folders in the folder where there are several.
std::string evidence_folder(const ReadOptions& options, std::size_t index) {
    if (options.evidence.empty() || options.files.size() == 1) return options.evidence;
    return options.evidence + "/" + std::to_string(index + 1);
}

void print(const Results& results) {
    const TerminalStyle style = terminal_style(STDOUT_FILENO);
    for (const auto& f : results.files) std::cout << terminal_file(f, style);
    for (const auto& l : results.lineups) std::cout << "\n" << terminal_lineup(l, style);
}

ExitStatus run_read(const ReadOptions& options) {
    if (!options.html.empty() && options.files.size() != 1) throw UsageError("--html is the page of one capture; give one FILE");
    for (const auto& path : {options.json, options.html}) need_writable(path);
    if (options.stills) need_still_program();
    std::optional<ExpectedLineup> plan;
    if (!options.plan.empty()) {
        plan = open_plan(options.plan);
        if (!plan) return ExitStatus::bad_input;
    }
    Results results;
    for (std::size_t i = 0; i < options.files.size(); ++i)
        read_one(options.files[i], plan ? &*plan : nullptr, {evidence_folder(options, i), options.stills}, threads_of(options), results);
    if (options.json != "-") print(results);
    if (!options.json.empty()) write_output(options.json, json_text(reading_json(results.files, results.lineups)));
    if (!options.html.empty() && !results.lineups.empty())
        write_output(options.html, lineup_page(results.lineups.front(), folder_from_page(options.evidence, options.html)));
    if (results.unusable) return ExitStatus::bad_input;
    // With a plan the verdict counts; without one the streams have to stand for themselves.
    const bool bad = plan ? std::ranges::any_of(results.lineups, [](const LineupReport& l) {
        return l.outcome() == Outcome::failed;
    }) : std::ranges::any_of(results.files, [](const FileReport& f) { return has_faults(f); });
    return bad ? ExitStatus::findings : ExitStatus::good;
}

}  // namespace

void add_read_command(CLI::App& app, ExitStatus& status) {
    auto options = std::make_shared<ReadOptions>();
    auto* command = app.add_subcommand("read", "Says what a capture or a transport-stream file holds.");
    command->add_option("FILE", options->files, "pcap, pcapng or .ts; gzip and Zstandard are unpacked; - is standard input")
        ->required();
    command->add_option("--plan", options->plan, "Judge the flows of captures by this plan (plan.toml)")->type_name("PLAN");
    command->add_option("--json", options->json, "Write everything as JSON; - is standard output")->type_name("FILE");
    command->add_option("--html", options->html, "Write the verification of a capture as a page for screen and paper")->type_name("FILE")->needs("--plan");
    command->add_option("--evidence", options->evidence,
                        "Folder for a short capture of each failed verdict; with several files one folder in it for each")->type_name("FOLDER")
        ->needs("--plan");
    command->add_flag("--stills", options->stills, "A still of each channel in the page, decoded by a process of its own that is shut in")->needs("--html");
    command->add_option("--threads", options->threads,
                        "Threads that look at the flows of a capture; results do not depend on it (default: one per processor)")->type_name("N")
        ->check(CLI::Range(1U, kMostThreads));
    command->footer("Examples:\n"
                    "  mastline-probe read recording.ts\n"
                    "  mastline-probe read wall-port.pcapng.gz --plan plan/plan.toml --html wall-port.html --evidence evidence\n"
                    "  mastline-probe read wall-port.pcapng.gz --plan plan/plan.toml --html wall-port.html --stills");
    command->callback([options, &status] { status = run_read(*options); });
}

}  // namespace mastline
