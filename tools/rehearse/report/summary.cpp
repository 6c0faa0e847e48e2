// SPDX-License-Identifier: Apache-2.0
#include "tools/rehearse/report/summary.hpp"

#include <algorithm>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "mastline/text/escape.hpp"
#include "mastline/text/shown_json.hpp"

namespace mastline {

namespace {

constexpr std::string_view kSummarySchema = "mastline-rehearsal 1";

double milliseconds_of(Duration d) {
    return static_cast<double>(d.count()) / 1e6;
}

std::string channel_of(const Expectation& flow) {
    return plain_line(flow.channel) + (flow.copy > 1 ? fmt::format("/{}", flow.copy) : "");
}

}  // namespace

void add_counts(Summary& summary, const std::vector<Transmission>& transmissions) {
    summary.planned.resize(summary.lineup->flows.size());
    summary.second.resize(summary.lineup->flows.size());
    for (const auto& transmission : transmissions) {
        const Route route = transmission.route();
        auto& into = (route.second_source ? summary.second : summary.planned)[route.flow];
        into.datagrams += transmission.counts().datagrams;
        into.withheld += transmission.counts().withheld;
    }
}

std::string summary_text(const Summary& summary) {
    std::string out = fmt::format("{:<8} {:<24} {:<22} {:>12} {:>10} {:>13}\n", "channel", "name",
                                  "group", "datagrams", "withheld", "second source");
    std::int64_t total = 0;
    for (std::size_t i = 0; i < summary.planned.size(); ++i) {
        const Expectation& flow = summary.lineup->flows[i];
        total += summary.planned[i].datagrams + summary.second[i].datagrams;
        out += fmt::format("{:<8} {:<24.24} {:<22} {:>12} {:>10} {:>13}\n", channel_of(flow),
                           plain_line(flow.name), to_text(flow.flow), summary.planned[i].datagrams,
                           summary.planned[i].withheld, summary.second[i].datagrams);
    }
    out += fmt::format(
        "{} datagrams in {:.1f} s; {} more than 2 ms late (worst {:.1f} ms); {} send errors{}\n",
        total, milliseconds_of(summary.sent_for) / 1e3, summary.late,
        milliseconds_of(summary.worst_lateness), summary.send_errors,
        summary.last_error.empty() ? "" : ", last: " + summary.last_error);
    return out;
}

std::string summary_json(const Summary& summary) {
    nlohmann::ordered_json root;
    root["schema"] = kSummarySchema;
    root["venue"] = plain_line(summary.lineup->venue);
    root["revision"] = plain_line(summary.lineup->revision);
    root["duration_ms"] = milliseconds_of(summary.sent_for);
    root["late_datagrams"] = summary.late;
    root["worst_lateness_ms"] = milliseconds_of(summary.worst_lateness);
    root["send_errors"] = summary.send_errors;
    auto& channels = root["channels"] = nlohmann::ordered_json::array();
    for (std::size_t i = 0; i < summary.planned.size(); ++i) {
        const Expectation& flow = summary.lineup->flows[i];
        channels.push_back({{"channel", plain_line(flow.channel)},
                            {"copy", flow.copy},
                            {"group", to_text(flow.flow.group)},
                            {"port", flow.flow.port.number},
                            {"datagrams", summary.planned[i].datagrams},
                            {"withheld_datagrams", summary.planned[i].withheld},
                            {"second_source_datagrams", summary.second[i].datagrams}});
    }
    return shown_json(root);
}

}  // namespace mastline
