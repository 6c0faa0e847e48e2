// SPDX-License-Identifier: Apache-2.0
#include <nlohmann/json.hpp>

#include "mastline/report/lineup_json.hpp"

#include "mastline/text/shown_json.hpp"
#include "probe/report/name_or_null.hpp"
#include "probe/report/nested_stream.hpp"
#include "probe/report/membership_json.hpp"

namespace mastline {

namespace {

using Json = nlohmann::ordered_json;

double in_seconds(Duration d) { return static_cast<double>(d.count()) / 1e9; }

std::string outcome_key(Outcome o) {
    return o == Outcome::not_judged ? "not-judged" : std::string(to_text(o));
}

Json check_json(const Check& c) {
    return {{"id", c.id},
            {"outcome", outcome_key(c.outcome)},
            {"expected", c.expected},
            {"found", c.found},
            {"evidence", c.evidence}};
}

Json explanation_json(const Explanation& e) {
    Json set = Json::array();
    for (const auto& part : e.set) set.push_back({{"parts", part.parts}, {"channels", part.channels}});
    return {{"set", set}, {"unexplained", e.unexplained}};
}

Json flows_json(const std::vector<FlowObservation>& flows) {
    Json out = Json::array();
    for (const auto& f : flows) out.push_back(flow_json(f));
    return out;
}

Json maybe_milliseconds(const std::optional<Duration>& d) { return d ? Json(static_cast<double>(d->count()) / 1e6) : Json(nullptr); }

Json latency_json(const FlowLatency& l) {
    return {{"group", to_text(l.flow.group)},
            {"port", l.flow.port.number},
            {"join_sent_ns", l.join_sent.count()},
            {"join_report_seen", l.report_seen},
            {"before_join", l.before_join},
            {"first_datagram_ms", maybe_milliseconds(l.to_first_datagram)},
            {"first_access_ms", maybe_milliseconds(l.to_first_access)},
            {"leave_sent_ns", l.leave_sent ? Json(l.leave_sent->count()) : Json(nullptr)},
            {"leave_seen", l.leave_seen},
            {"last_datagram_ms", maybe_milliseconds(l.to_last_datagram)}};
}

Json pointer_json(const Pointer& p) {
    Json pids = Json::array();
    for (const auto pid : p.pids) pids.push_back(pid.value());
    return {{"check", p.check},
            {"expected", p.expected},
            {"found", p.found},
            {"evidence", p.evidence},
            {"rule", p.rule},
            {"packet", p.packet ? Json(*p.packet) : Json(nullptr)},
            {"at_ns", p.at ? Json(p.at->count()) : Json(nullptr)},
            {"pids", pids},
            {"shown_by_capture_alone", p.shown}};
}

Json evidence_item(const Evidence& item) {
    Json look = Json::array();
    for (const auto& p : item.look_at) look.push_back(pointer_json(p));
    Json links = Json::array();
    for (const auto link : item.links) links.push_back(link.value);
    return {{"channel", item.channel},
            {"copy", item.copy},
            {"file", item.file.empty() ? Json(nullptr) : Json(item.file)},
            {"packets", item.packets},
            {"link_types", links},
            {"first_ns", item.first ? Json(item.first->count()) : Json(nullptr)},
            {"last_ns", item.last ? Json(item.last->count()) : Json(nullptr)},
            {"fault_packet", item.fault_packet ? Json(*item.fault_packet) : Json(nullptr)},
            {"headers_rebuilt", item.rebuilt},
            {"remark", item.remark},
            {"look_at", look}};
}

Json evidence_json(const EvidenceFolder& e) {
    Json items = Json::array();
    for (const auto& item : e.items) items.push_back(evidence_item(item));
    return {{"folder", e.folder},
            {"membership_file", e.membership_file.empty() ? Json(nullptr) : Json(e.membership_file)},
            {"captures", items}};
}

Json ts_json(const FileReport::TsFile& f) {
    return {{"packet_bytes", f.summary.packet_size},
            {"packets", f.summary.packets},
            {"leading_bytes", f.summary.leading_bytes},
            {"skipped_bytes", f.summary.skipped_bytes},
            {"damage", f.summary.damage},
            {"stream", nested_stream(f.stream)}};
}

Json capture_json(const FileReport::Capture& c) {
    Json links = Json::array();
    for (const auto link : c.summary.unknown_links) links.push_back(link.value);
    return {{"frames", c.summary.frames},
            {"dropped_by_capture", c.summary.dropped_by_capture},
            {"unknown_link_types", links},
            {"damage", c.summary.damage},
            {"datagrams", c.counts.datagrams},
            {"reassembled_datagrams", c.counts.reassembled},
            {"fragments", c.counts.fragments},
            {"abandoned_fragmented_packets", c.counts.abandoned},
            {"truncated_datagrams", c.counts.truncated},
            {"membership_messages", c.counts.membership},
            {"malformed_frames", c.counts.malformed},
            {"other_frames", c.counts.other},
            {"other_flows", c.other_flows},
            {"queriers", queriers_json(c.membership.queriers)},
            {"members", members_json(c.membership.members)},
            {"flows", flows_json(c.flows)}};
}

}  // namespace

Json verdict_json(const Verdict& v) {
    Json checks = Json::array();
    for (const auto& c : v.checks) checks.push_back(check_json(c));
    return {{"channel", v.channel},
            {"copy", v.copy},
            {"name", v.name},
            {"group", to_text(v.flow.group)},
            {"port", v.flow.port.number},
            {"interface", name_or_null(v.interface)},
            {"outcome", outcome_key(v.outcome())},
            {"headline", v.headline() != nullptr ? Json(v.headline()->id) : Json(nullptr)},
            {"checks", checks},
            {"parts", v.parts}};
}

Json lineup_json(const LineupReport& r) {
    Json verdicts = Json::array(), explanations = Json::array();
    for (const auto& v : r.verdicts) verdicts.push_back(verdict_json(v));
    for (const auto& e : r.explanations) explanations.push_back(explanation_json(e));
    Json network = Json::array(), latencies = Json::array();
    for (const auto& c : r.network) network.push_back(check_json(c));
    for (const auto& l : r.latencies) latencies.push_back(latency_json(l));
    Json out{{"schema", kVerificationSchema},
             {"venue", r.venue},
             {"revision", r.revision},
             {"where", r.where},
             {"watched_s", in_seconds(r.watched)},
             {"outcome", outcome_key(r.outcome())},
             {"channels_right", r.count(Outcome::passed)},
             {"channels_failed", r.count(Outcome::failed)},
             {"channels_not_judged", r.count(Outcome::not_judged)},
             {"own_drops", r.own_drops},
             {"verdicts", verdicts},
             {"explanations", explanations},
             {"querier", nullptr},
             {"network", network},
             {"latencies", latencies},
             {"evidence", r.evidence ? evidence_json(*r.evidence) : Json(nullptr)},
             {"observations", flows_json(r.observations)},
             {"unasked", flows_json(r.unasked)}};
    if (r.querier) {
        out["querier"] = check_json(r.querier->check);
        out["querier"]["queriers"] = queriers_json(r.querier->queriers);
    }
    return out;
}

Json reading_json(const std::vector<FileReport>& files, const std::vector<LineupReport>& lineups) {
    Json list = Json::array(), compared = Json::array();
    for (const auto& f : files)
        list.push_back({{"name", f.name},
                        {"ts_file", f.ts ? ts_json(*f.ts) : Json(nullptr)},
                        {"capture", f.capture ? capture_json(*f.capture) : Json(nullptr)}});
    for (const auto& l : lineups) compared.push_back(lineup_json(l));
    return {{"schema", kReadingSchema}, {"files", list}, {"verifications", compared}};
}

std::string json_text(const Json& document) {
    return shown_json(document);
}

}  // namespace mastline
