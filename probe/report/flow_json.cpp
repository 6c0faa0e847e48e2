// SPDX-License-Identifier: Apache-2.0
#include <nlohmann/json.hpp>

#include "mastline/report/lineup_json.hpp"
#include "probe/report/name_or_null.hpp"
#include "probe/report/nested_stream.hpp"

namespace mastline {

namespace {

using Json = nlohmann::ordered_json;

double in_milliseconds(Duration d) { return static_cast<double>(d.count()) / 1e6; }

Json instant(const std::optional<Duration>& at) { return at ? Json(at->count()) : Json(nullptr); }

Json range(const std::optional<ValueRange>& r) {
    return r ? Json{{"least", r->least}, {"greatest", r->greatest}} : Json(nullptr);
}

Json sources(const FlowObservation& f) {
    Json out = Json::array();
    for (const auto& s : f.sources)
        out.push_back({{"address", to_text(s.address)},
                       {"port", s.port.number},
                       {"main", &s == &f.sources[f.main_source]},
                       {"datagrams", s.datagrams},
                       {"first_ns", instant(s.first)},
                       {"last_ns", instant(s.last)}});
    return out;
}

Json vlans(const FlowObservation& f) {
    Json out = Json::array();
    for (const auto& v : f.vlans) {
        Json ids = Json::array();
        for (std::size_t i = 0; i < v.tags.count; ++i) ids.push_back(v.tags.ids[i].number);
        out.push_back({{"ids", ids}, {"datagrams", v.datagrams}});
    }
    return out;
}

Json packing(const FlowObservation& f) {
    Json out = Json::array();
    for (std::size_t n = 1; n < f.packing.size(); ++n)
        if (f.packing[n] > 0) out.push_back({{"packets", n}, {"datagrams", f.packing[n]}});
    if (f.packing[0] > 0) out.push_back({{"packets", nullptr}, {"datagrams", f.packing[0]}});
    return out;
}

Json spread(const SpreadObservation& s) {
    return {{"count", s.count},
            {"min_ms", in_milliseconds(s.min)},
            {"mean_ms", in_milliseconds(s.mean)},
            {"median_ms", in_milliseconds(s.median)},
            {"p99_ms", in_milliseconds(s.p99)},
            {"max_ms", in_milliseconds(s.max)}};
}

Json rtp(const RtpObservation& r) {
    return {{"packets", r.packets},
            {"lost", r.lost},
            {"gaps", r.gaps},
            {"largest_gap", r.largest_gap},
            {"reordered", r.reordered},
            {"restored", r.restored},
            {"duplicates", r.duplicates},
            {"strays", r.strays},
            {"restarts", r.restarts},
            {"ssrc_changes", r.ssrc_changes},
            {"ssrc", r.ssrc},
            {"payload_type", r.payload_type}};
}

Json delivery_index(const DeliveryIndexObservation& d) {
    return {{"intervals", d.intervals},
            {"max_delay_factor_ms", in_milliseconds(d.max_delay_factor)},
            {"last_delay_factor_ms", in_milliseconds(d.last_delay_factor)},
            {"max_media_loss_rate_per_s", d.max_media_loss_rate},
            {"media_rate_bps", d.media_rate.bits_per_second()}};
}

// Only cells with faults are told of them.
Json course_faults(const CourseObservation& c) {
    Json out = Json::array();
    for (std::size_t i = 0; i < c.cells.size(); ++i) {
        if (c.cells[i].faults == 0) continue;
        Json checks = Json::array();
        for (std::size_t k = 0; k < kFlowFaults; ++k)
            if (c.cells[i].kinds.has(static_cast<FlowFault>(k))) checks.push_back(check_of(static_cast<FlowFault>(k)));
        out.push_back({{"cell", i}, {"count", c.cells[i].faults}, {"checks", checks}});
    }
    return out;
}

Json course(const CourseObservation& c) {
    Json bytes = Json::array(), gaps = Json::array(), factors = Json::array();
    for (const auto& cell : c.cells) {
        bytes.push_back(cell.bytes);
        gaps.push_back(in_milliseconds(cell.longest_gap));
        factors.push_back(cell.delay_factor > Duration{} ? Json(in_milliseconds(cell.delay_factor)) : Json(nullptr));
    }
    return {{"start_ns", c.start.count()}, {"cell_ms", in_milliseconds(c.width)}, {"bytes", bytes},
            {"longest_gap_ms", gaps},      {"delay_factor_ms", factors},          {"faults", course_faults(c)}};
}

Json encapsulation(const FlowObservation& f) {
    const auto kind = f.encapsulation();
    if (!kind) return nullptr;
    return *kind == Encapsulation::rtp ? "rtp" : "udp";
}

Json fec(FecRole role) {
    if (role == FecRole::none) return nullptr;
    return role == FecRole::row ? "row" : "column";
}

Json repair_stream(const std::optional<RepairStream>& r) {
    if (!r) return nullptr;
    return {{"datagrams", r->datagrams}, {"unusable", r->unusable}, {"step", r->step}, {"protected", r->count}};
}

Json repair(const RepairObservation& r) {
    return {{"column", repair_stream(r.column)},
            {"row", repair_stream(r.row)},
            {"lost", r.lost},
            {"recoverable_by_column", r.by_column},
            {"recoverable_by_row", r.by_row},
            {"recoverable", r.by_both},
            {"unrecoverable", r.unrecoverable},
            {"untold", r.untold},
            {"compared", r.compared},
            {"contradicting", r.contradicting}};
}

}  // namespace

Json flow_json(const FlowObservation& f) {
    return {{"address", to_text(f.destination.address)},
            {"port", f.destination.port.number},
            {"interface", name_or_null(f.interface)},
            {"encapsulation", encapsulation(f)},
            {"fec", fec(f.fec)},
            {"datagrams", f.datagrams},
            {"payload_bytes", f.payload_bytes},
            {"first_ns", instant(f.first)},
            {"last_ns", instant(f.last)},
            {"sources", sources(f)},
            {"source_switches", f.source_switches},
            {"ttl", range(f.ttl)},
            {"dscp", range(f.dscp)},
            {"vlans", vlans(f)},
            {"udp_datagrams", f.udp_datagrams},
            {"rtp_datagrams", f.rtp_datagrams},
            {"other_datagrams", f.other_datagrams},
            {"truncated_datagrams", f.truncated_datagrams},
            {"own_drops", f.own_drops},
            {"own_drops_possible", f.own_drops_possible},
            {"repeated_datagrams", f.repeated_datagrams},
            {"repeats_continuity_errors", f.repeats_continuity_errors},
            {"packet_bytes", f.encapsulation() ? Json(f.packet_size) : Json(nullptr)},
            {"packing", packing(f)},
            {"inter_arrival", f.inter_arrival ? spread(*f.inter_arrival) : Json(nullptr)},
            {"silent_from_ns", instant(f.silent_from)},
            {"rtp", f.rtp ? rtp(*f.rtp) : Json(nullptr)},
            {"repair", f.repair ? repair(*f.repair) : Json(nullptr)},
            {"delivery_index", f.delivery_index ? delivery_index(*f.delivery_index) : Json(nullptr)},
            {"course", f.course ? course(*f.course) : Json(nullptr)},
            {"stream", f.stream ? nested_stream(*f.stream) : Json(nullptr)}};
}

}  // namespace mastline
