// SPDX-License-Identifier: Apache-2.0
#include <unistd.h>

#include <algorithm>
#include <iostream>
#include <memory>

#include <nlohmann/json.hpp>

#include "mastline/report/lineup_json.hpp"
#include "mastline/report/survey.hpp"
#include "mastline/text/interface_names.hpp"
#include "probe/commands/commands.hpp"
#include "probe/commands/listening.hpp"
#include "probe/commands/output.hpp"

namespace mastline {

namespace {

struct SurveyOptions {
    std::string interface, length = "10 s", json, occupied, channels;
    std::vector<std::string> join;
};

std::optional<std::vector<WantedFlow>> wanted_flows(const SurveyOptions& options) {
    std::vector<WantedFlow> out;
    bool good = true;
    for (const auto& text : options.join) {
        const auto group = parse_group(text);
        if (group) out.push_back({{*group, {}}, std::nullopt});
        else std::cerr << "--join: " << group.error().message << "\n";
        good &= group.has_value();
    }
    return good ? std::optional(std::move(out)) : std::nullopt;
}

std::vector<FlowObservation> multicast_only(std::vector<FlowObservation> flows) {
    std::erase_if(flows, [](const FlowObservation& f) { return !f.destination.address.is_multicast(); });
    return flows;
}

void write_survey_reports(const SurveyReport& report, const SurveyOptions& options) {
    const bool taken = options.json == "-" || options.occupied == "-" || options.channels == "-";
    if (!taken) std::cout << terminal_survey(report, terminal_style(STDOUT_FILENO)) << std::flush;
    if (!options.json.empty()) write_output(options.json, json_text(survey_json(report)));
    if (!options.occupied.empty()) write_output(options.occupied, occupied_toml(report));
    if (!options.channels.empty()) write_output(options.channels, channels_csv(report));
}

ExitStatus run_survey(const SurveyOptions& options) {
    const auto length = parse_duration(options.length);
    const auto flows = wanted_flows(options);
    if (!length || *length <= Duration{}) {
        std::cerr << "--for: " << (length ? "\"" + options.length + "\" is no time to watch" : length.error().message) << "\n";
        return ExitStatus::bad_input;
    }
    if (!flows) return ExitStatus::bad_input;
    need_interface(options.interface);
    WatchSink sink;
    const auto listening = listen_by_ring(options.interface, *flows);
    for (const auto& path : {options.json, options.occupied, options.channels}) need_writable(path);
    const Watch watch = watch_live(*listening, sink, *length);
    SurveyReport report;
    report.where = "interface " + options.interface;
    report.watched = watch.length();
    report.flows = multicast_only(sink.flows().observe());
    report.membership = sink.membership().observe();
    report.own_drops = listening->own_drops();
    write_survey_reports(report, options);
    return ExitStatus::good;
}

}  // namespace

void add_survey_command(CLI::App& app, ExitStatus& status) {
    auto options = std::make_shared<SurveyOptions>();
    auto* command = app.add_subcommand("survey", "Says what multicast is on the wire, without a plan (needs CAP_NET_RAW).");
    command->add_option("--interface", options->interface, "Network interface to listen on")->type_name("IF")->required();
    command->add_option("--for", options->length, "How long to listen")->type_name("TIME")->capture_default_str();
    command->add_option("--join", options->join, "Groups to join; without, only what comes unasked is seen")->type_name("GROUP");
    command->add_option("--json", options->json, "Write everything as JSON; - is standard output")->type_name("FILE");
    command->add_option("--occupied", options->occupied, "Write the groups in use as [[occupied]] tables for a venue")->type_name("FILE");
    command->add_option("--channels", options->channels, "Write the services as a channel list in CSV")->type_name("FILE");
    command->footer("Examples:\n"
                    "  mastline-probe survey --interface eth0 --for \"1 min\"\n"
                    "  mastline-probe survey --interface eth0 --join 239.192.10.20 239.192.10.21 "
                    "--occupied occupied.toml --channels channels.csv");
    command->callback([options, &status] { status = run_survey(*options); });
}

}  // namespace mastline
