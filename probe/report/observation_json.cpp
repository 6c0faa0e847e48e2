// SPDX-License-Identifier: Apache-2.0
#include "mastline/report/observation_json.hpp"

#include <nlohmann/json.hpp>

#include "mastline/text/escape.hpp"
#include "mastline/text/shown_json.hpp"

namespace mastline {

namespace {

using Json = nlohmann::ordered_json;

double milliseconds(Duration d) { return static_cast<double>(d.count()) / 1e6; }

// null where there is none
template <class T, class Convert>
Json maybe(const std::optional<T>& value, Convert&& convert) {
    return value ? Json(convert(*value)) : Json(nullptr);
}
Json maybe_ns(const std::optional<Duration>& d) {
    return maybe(d, [](Duration v) { return v.count(); });
}
Json maybe_ms(const std::optional<Duration>& d) { return maybe(d, milliseconds); }
Json maybe_pid(const std::optional<Pid>& p) {
    return maybe(p, [](Pid v) { return v.value(); });
}
Json maybe_rate(const std::optional<BitRate>& r) {
    return maybe(r, [](BitRate v) { return v.bits_per_second(); });
}

Json video_json(const VideoFormat& v) {
    return {{"profile", v.profile},
            {"level", v.level},
            {"width_samples", v.width},
            {"height_samples", v.height},
            {"interlaced", v.interlaced},
            {"frames_per_second", maybe(v.frame_rate, [](const FrameRate& r) {
                 return std::to_string(r.numerator) + "/" + std::to_string(r.denominator);
             })}};
}

Json audio_json(const AudioFormat& a) {
    return {{"profile", a.profile},
            {"sample_rate_hz", a.sample_rate.hertz()},
            {"channels", a.channels > 0 ? Json(a.channels) : Json(nullptr)},
            {"rate_bps", maybe_rate(a.rate)}};
}

Json pts_json(const PtsObservation& p) {
    return {{"count", p.count},
            {"interval_max_ms", maybe_ms(p.max_interval)},
            {"order_errors", p.order_errors},
            {"first_90khz", maybe(p.first, [](PtsTicks t) { return t.count(); })},
            {"last_90khz", maybe(p.last, [](PtsTicks t) { return t.count(); })}};
}

Json component_json(const ComponentObservation& c) {
    Json languages = Json::array();
    for (const auto& l : c.languages) languages.push_back(plain_line(l));
    return {{"pid", c.pid.value()},
            {"stream_type", c.stream_type.value},
            {"kind", c.kind},
            {"languages", std::move(languages)},
            {"descriptor_tags", c.descriptor_tags},
            {"registration", plain_line(c.registration)},
            {"packets", c.packets},
            {"scrambled", c.scrambled},
            {"still_pictures", c.still_pictures},
            {"video", maybe(c.video, video_json)},
            {"audio", maybe(c.audio, audio_json)},
            {"pts", pts_json(c.pts)},
            {"random_access_points", c.random_access_points}};
}

Json location_json(const ServiceLocation& l) {
    Json components = Json::array();
    for (const auto& e : l.elements)
        components.push_back({{"pid", e.pid.value()}, {"stream_type", e.stream_type.value}, {"language", plain_line(e.language)}});
    return {{"pcr_pid", maybe_pid(l.pcr_pid)}, {"components", std::move(components)}};
}

Json service_json(const ServiceObservation& s) {
    return {{"name", plain_line(s.name)},
            {"provider", plain_line(s.provider)},
            {"service_type", s.service_type},
            {"virtual_channel", s.virtual_channel},
            {"long_name", plain_line(s.long_name)},
            {"etm_location", maybe(s.etm_location, [](std::uint8_t where) { return where; })},
            {"location", maybe(s.location, location_json)},
            {"free_ca_mode", s.free_ca_mode}};
}

Json event_json(const EventObservation& e) {
    return {{"event_id", e.event_id},
            {"start_utc", e.start_utc},
            {"duration_s", maybe(e.duration, [](Duration d) { return d / std::chrono::seconds(1); })},
            {"language", plain_line(e.language)},
            {"name", plain_line(e.name)}};
}

Json programme_json(const ProgrammeObservation& p) {
    Json components = Json::array();
    for (const auto& c : p.components) components.push_back(component_json(c));
    return {{"program_number", p.program_number.value},
            {"pmt_pid", maybe_pid(p.pmt_pid)},
            {"pmt_seen", p.pmt_seen},
            {"pmt_version", p.pmt_version},
            {"pcr_pid", maybe_pid(p.pcr_pid)},
            {"service", maybe(p.service, service_json)},
            {"scrambled", p.scrambled},
            {"components", std::move(components)},
            {"present_event", maybe(p.present, event_json)},
            {"following_event", maybe(p.following, event_json)},
            {"first_access_packet", maybe(p.first_access_packet, [](std::uint64_t v) { return v; })},
            {"first_access_time_ns", maybe_ns(p.first_access)}};
}

Json pid_json(const PidObservation& p) {
    return {{"pid", p.pid.value()},
            {"role", p.role},
            {"packets", p.packets},
            {"continuity_errors", p.continuity_errors},
            {"packets_lost_modulo_16", p.packets_lost},
            {"duplicates", p.duplicates},
            {"scrambled_packets", p.scrambled_packets},
            {"signalled_discontinuities", p.signalled_discontinuities},
            {"random_access_indicators", p.random_access_points},
            {"pcr_count", p.pcr_count},
            {"first_time_ns", maybe_ns(p.first)},
            {"last_time_ns", maybe_ns(p.last)}};
}

Json jitter_json(const JitterObservation& j) {
    if (!j.judged) return {{"judged", false}, {"reason", j.reason}};
    return {{"judged", true},
            {"overall_ns", j.overall.count()},
            {"drift_free_ns", j.drift_free.count()},
            {"drift_ppm", j.drift_ppm}};
}

Json pcr_json(const PcrObservation& p) {
    const Json rate = maybe(p.rate, [](const RateObservation& r) {
        return Json{{"min_bps", r.min.bits_per_second()},
                    {"mean_bps", r.mean.bits_per_second()},
                    {"max_bps", r.max.bits_per_second()}};
    });
    return {{"pid", p.pid.value()},
            {"count", p.count},
            {"interval_min_ms", maybe_ms(p.min_interval)},
            {"interval_mean_ms", maybe_ms(p.mean_interval)},
            {"interval_max_ms", maybe_ms(p.max_interval)},
            {"intervals_above_40_ms", p.intervals_above_40_ms},
            {"intervals_above_100_ms", p.intervals_above_100_ms},
            {"signalled_discontinuities", p.signalled_discontinuities},
            {"discontinuities", p.discontinuities},
            {"wraps", p.wraps},
            {"transport_rate", rate},
            {"jitter", jitter_json(p.jitter)}};
}

Json table_json(const TableObservation& t) {
    return {{"pid", t.pid.value()},
            {"table_id", t.table_id},
            {"table_id_extension", t.extension},
            {"version", t.version},
            {"version_changes", t.version_changes},
            {"sections", t.sections},
            {"complete", t.complete},
            {"interval_max_ms", maybe_ms(t.max_interval)}};
}

Json indicator_json(const IndicatorObservation& i) {
    Json out{{"number", i.number}, {"name", i.name}, {"priority", i.priority}, {"judged", i.judged}};
    if (!i.judged) {
        out["reason"] = i.reason;
        return out;
    }
    out["count"] = i.found.count;
    out["first_time_ns"] = maybe_ns(i.found.first);
    out["last_time_ns"] = maybe_ns(i.found.last);
    out["first_packets"] = i.found.packets;
    return out;
}

template <class T, class Convert>
Json list(const std::vector<T>& values, Convert&& convert) {
    Json out = Json::array();
    for (const auto& v : values) out.push_back(convert(v));
    return out;
}

const char* time_base_text(TimeBase base) {
    return base == TimeBase::arrival ? "arrival" : base == TimeBase::pcr ? "pcr" : "none";
}

}  // namespace

nlohmann::ordered_json observation_json(const StreamObservation& o) {
    return {{"time_base", time_base_text(o.time_base)},
            {"first_time_ns", maybe_ns(o.first)},
            {"last_time_ns", maybe_ns(o.last)},
            {"packets", o.packets},
            {"bytes", o.bytes},
            {"bytes_skipped", o.bytes_skipped},
            {"in_sync", o.in_sync},
            {"sync_losses", o.sync_losses},
            {"sync_byte_errors", o.sync_byte_errors},
            {"transport_errors", o.transport_errors},
            {"null_packets", o.null_packets},
            {"continuity_errors", o.continuity_errors},
            {"packets_lost_modulo_16", o.packets_lost},
            {"duplicates", o.duplicates},
            {"scrambled_packets", o.scrambled_packets},
            {"rate_bps", maybe_rate(o.rate)},
            {"arrival_rate_bps", maybe_rate(o.arrival_rate)},
            {"pat_seen", o.pat_seen},
            {"transport_stream_id", maybe(o.transport_stream_id, [](std::uint16_t v) { return v; })},
            {"original_network_id", maybe(o.original_network_id, [](std::uint16_t v) { return v; })},
            {"network_pid", maybe_pid(o.network_pid)},
            {"network_name", plain_line(o.network_name)},
            {"cat_seen", o.cat_seen},
            {"utc", o.utc},
            {"programmes", list(o.programmes, programme_json)},
            {"pids", list(o.pids, pid_json)},
            {"pcrs", list(o.pcrs, pcr_json)},
            {"tables", list(o.tables, table_json)},
            {"crc_errors", list(o.crc_errors,
                                [](const CrcErrorObservation& e) {
                                    return Json{{"pid", e.pid.value()}, {"table_id", e.table_id}, {"count", e.count}};
                                })},
            {"indicators", list(o.indicators, indicator_json)}};
}

std::string observation_document(const StreamObservation& observation) {
    Json document{{"schema", kObservationSchema}};
    document.update(observation_json(observation));
    return shown_json(document);
}

}  // namespace mastline
