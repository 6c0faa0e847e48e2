// SPDX-License-Identifier: Apache-2.0
#include <filesystem>
#include <memory>
#include <optional>
#include <set>
#include <string>

#include "mastline/missing_input.hpp"
#include "mastline/text/escape.hpp"
#include "mastline/text/joined.hpp"
#include "planner/commands/command.hpp"
#include "planner/commands/findings_text.hpp"
#include "planner/commands/input_file.hpp"
#include "planner/commands/kept_file.hpp"
#include "planner/commands/open_venue.hpp"
#include "planner/commands/output_files.hpp"
#include "planner/intake/merge_channels.hpp"
#include "planner/intake/merge_occupied.hpp"

namespace mastline {

namespace {

struct ImportOptions {
    std::string list, into, venue, plan;
    std::string by = "number";
};

void say(std::string& out, const std::string& head, const std::vector<std::string>& words) {
    if (!words.empty()) out += plain_line(head + joined(words)) + "\n";
}

std::string report(const ChannelList& list, const MergedChannels& merged) {
    std::string out;
    say(out, "columns: ", list.columns);
    say(out, "columns that mean nothing here: ", list.unmapped);
    say(out, "new: ", merged.added);
    for (const auto& c : merged.changed) out += plain_line("changed: " + c) + "\n";
    say(out, "in the file but not in the list, left as they are: ", merged.absent);
    say(out, "source still to be filled in: ", merged.sourceless);
    return out + std::to_string(merged.added.size()) + " new, " + std::to_string(merged.changed.size()) + " changed, " +
           std::to_string(merged.unchanged) + " unchanged\n";
}

// Names by which a channel's source may be known. The venue's channels may be wrong or missing still.
std::vector<NamedSource> sources_of(const Venue& venue) {
    std::vector<NamedSource> out;
    for (const auto& s : venue.services) {
        out.push_back({s.programme.service_name.empty() ? s.name : s.programme.service_name, "service", s.name});
        if (!s.programme.service_name.empty() && s.name != s.programme.service_name) out.push_back({s.name, "service", s.name});
    }
    for (const auto& i : venue.inputs) out.push_back({i.name, "input", i.name});
    return out;
}

SameBy same_by(const std::string& word) {
    return word == "name" ? SameBy::name : word == "group" ? SameBy::group : SameBy::number;
}

ExitStatus refuse(Findings findings) {
    sort_findings(findings);
    print(findings_text(findings, terminal_style()) + "nothing is written\n" + counts_text(findings) + "\n");
    return ExitStatus::bad_input;
}

ExitStatus finish(const ImportOptions& options, const std::optional<std::string>& before, const std::string& text,
                  const std::string& report) {
    if (!before || *before != text) write_files({{options.into, text}});
    print(report);
    return ExitStatus::good;
}

std::set<Group> groups_of_plan(const std::string& path, Findings& findings) {
    std::set<Group> out;
    if (path.empty()) return out;
    if (const auto plan = kept_file(path, findings))
        for (const auto& held : plan->addresses.held) out.insert(held.group);
    return out;
}

ExitStatus run_occupied(const ImportOptions& options, const std::string& list) {
    Findings findings;
    const auto own = groups_of_plan(options.plan, findings);
    const auto before = read_file(options.into);
    const auto merged = merge_occupied(list, options.list, before.value_or(""), options.into, own, findings);
    if (has_errors(findings)) return refuse(std::move(findings));
    std::string out;
    say(out, "new: ", merged.added);
    say(out, "of the plan itself, left out: ", merged.own);
    return finish(options, before, merged.text,
                  out + std::to_string(merged.added.size()) + " new, " + std::to_string(merged.known) +
                      " in the file already\n");
}

ExitStatus run_import(const ImportOptions& options) {
    Findings findings;
    const auto csv = read_file(options.list);
    if (!csv) miss_input("list", options.list, "see mastline-planner import --help for what a list holds");
    if (options.list.ends_with(".toml")) return run_occupied(options, *csv);
    auto list = read_channel_list(*csv, options.list, findings);
    if (!options.venue.empty()) give_sources(list, sources_of(open_venue(options.venue).venue));
    const auto before = read_file(options.into);
    const auto merged = merge_channels(before.value_or(""), options.into, list, same_by(options.by), findings);
    if (has_errors(findings)) return refuse(std::move(findings));
    return finish(options, before, merged.text, report(list, merged));
}

}  // namespace

Command import_command() {
    const auto options = std::make_shared<ImportOptions>();
    return {"import",
        "Bring a channel list, or groups that a survey found in use, into a venue file",
        {{"LIST", "The channel list as CSV: a spreadsheet's, or one that mastline-probe survey wrote; or the "
          "groups in use that it wrote, a file that ends in .toml",
          &options->list, true},
         {"--into", "TOML file for the [[channel]] or [[occupied]] tables; what stands there stays, comments too",
          &options->into, true, "FILE"},
         {"--by", "What a row and a channel of the file share to be the same: number, name or group. By name or "
          "group, channels keep their numbers", &options->by, false, "KEY", {"number", "name", "group"}},
         {"--venue", "Give channels without a source the service or input of their name",
          &options->venue, false, "VENUE"},
         {"--plan", "Leave out groups in use that this plan sends on: they are the lineup's own",
          &options->plan, false, "FILE"}},
        "Columns are found by the words of their headers: \"Ch.\", \"LCN\", \"Station\", \"Definition\",\n"
        "\"Multicast address\" and many more are understood. Channels that the list lacks are left.\n\n"
        "Examples:\n"
        "  mastline-planner import lineup.csv --into arena/channels.toml --venue arena\n"
        "  mastline-probe survey --interface eth0 --channels now.csv &&\n"
        "    mastline-planner import now.csv --into arena/channels.toml --by group\n"
        "  mastline-probe survey --interface eth0 --occupied used.toml &&\n"
        "    mastline-planner import used.toml --into arena/network.toml --plan arena-plan/plan.toml\n\n"
        "Exit status: 0 good, 2 errors in the list or the file: nothing is written.",
        [options] { return run_import(*options); }};
}

}  // namespace mastline
