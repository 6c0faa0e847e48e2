// SPDX-License-Identifier: Apache-2.0
// From the state of the checks to the observation.
#include <algorithm>

#include "flow_checks.hpp"
#include "mastline/ts/component_kind.hpp"

namespace mastline {

namespace {

constexpr Duration kHalfSecond = std::chrono::milliseconds(500);
constexpr Duration kLongestStampInterval = std::chrono::milliseconds(700);
constexpr Duration kLongestPcrInterval = std::chrono::milliseconds(100);

void merge(Occurrences& into, const Occurrences& more) {
    into.count += more.count;
    if (more.first) into.first = std::min(into.first.value_or(*more.first), *more.first);
    if (more.last) into.last = std::max(into.last.value_or(*more.last), *more.last);
    into.packets.insert(into.packets.end(), more.packets.begin(), more.packets.end());
    std::sort(into.packets.begin(), into.packets.end());
    if (into.packets.size() > Occurrences::kPacketsKept) into.packets.resize(Occurrences::kPacketsKept);
}

}  // namespace

StreamObservation FlowChecks::observe() const {
    StreamObservation out;
    IndicatorTally tally = tally_;
    out.time_base = base_;
    if (first_) out.first = first_->time;
    if (last_) out.last = last_->time;
    out.packets = next_index_;
    out.sync_losses = tally.of(Indicator::sync_loss).count;
    out.sync_byte_errors = tally.of(Indicator::sync_byte).count;
    out.transport_errors = tally.of(Indicator::transport).count;
    out.null_packets = null_packets();
    out.pat_seen = services_.has_pat();
    out.cat_seen = services_.has_cat();
    out.transport_stream_id = services_.transport_stream_id();
    out.original_network_id = services_.original_network_id();
    out.network_pid = services_.network_pid();
    out.network_name = services_.network_name();
    out.utc = services_.utc();
    out.tables = tables_.tables();
    out.crc_errors = tables_.crc_errors();
    observe_pids(out);
    observe_programmes(out);
    observe_pcrs(out, tally);
    observe_rates(out);
    judge_absences(out, tally);
    out.indicators = tally.observe();
    return out;
}

std::uint64_t FlowChecks::null_packets() const {
    const PidTable::Id id = pids_.find(kNullPid);
    return id == PidTable::kNone ? 0 : pids_.state(id).packets;
}

std::string FlowChecks::role(PidTable::Id id) const {
    const Pid pid = pids_.memory(id).pid;
    static const std::map<Pid, const char*> fixed{
        {kPatPid, "pat"},     {kCatPid, "cat"}, {Pid(0x02), "tsdt"},   {kNitPid, "nit"},
        {kSdtPid, "sdt/bat"}, {kEitPid, "eit"}, {Pid(0x13), "rst"},    {kTdtPid, "tdt/tot"},
        {kPsipPid, "psip"},   {kNullPid, "null"}};
    if (const auto found = fixed.find(pid); found != fixed.end()) return found->second;
    if (pmt_pids_.contains(pid)) return "pmt";
    if (facts_[id].component) return "component";
    if (pid == services_.network_pid()) return "nit";
    for (const auto& [number, programme] : services_.programmes())
        if (programme.pmt && programme.pmt->pcr_pid == pid) return "pcr";
    if (pid.value() < 0x20) return "reserved";
    return facts_[id].referenced ? "referenced" : "unreferenced";
}

void FlowChecks::observe_pids(StreamObservation& into) const {
    for (std::size_t i = 1; i <= pids_.count(); ++i) {
        const auto id = static_cast<PidTable::Id>(i);
        const PidFacts& f = facts_[id];
        into.pids.push_back({.pid = pids_.memory(id).pid,
                             .role = role(id),
                             .packets = pids_.state(id).packets,
                             .continuity_errors = f.continuity_errors,
                             .packets_lost = f.packets_lost,
                             .duplicates = f.duplicates,
                             .scrambled_packets = pids_.scrambled_packets(id),
                             .signalled_discontinuities = f.discontinuities,
                             .random_access_points = f.random_access,
                             .pcr_count = f.pcrs,
                             .first = f.first.time,
                             .last = f.last});
        const PidObservation& p = into.pids.back();
        into.continuity_errors += p.continuity_errors;
        into.packets_lost += p.packets_lost;
        into.duplicates += p.duplicates;
        into.scrambled_packets += p.scrambled_packets;
    }
    std::sort(into.pids.begin(), into.pids.end(), [](auto& a, auto& b) { return a.pid < b.pid; });
}

void FlowChecks::observe_component(ProgrammeObservation& programme, const Pmt& pmt, std::size_t index) const {
    const Pmt::Component& said = pmt.components[index];
    ComponentObservation c{.pid = said.elementary_pid,
                           .stream_type = said.stream_type,
                           .kind = kind_of(said, pmt.descriptors),
                           .languages = languages_of(said.descriptors),
                           .registration = registration_of(said.descriptors),
                           .still_pictures = announces_stills(said.descriptors)};
    for (const auto& d : said.descriptors) c.descriptor_tags.push_back(d.tag);
    if (const PidTable::Id id = pids_.find(c.pid); id != PidTable::kNone) {
        c.packets = pids_.state(id).packets;
        c.scrambled = pids_.scrambled_packets(id) > 0;
    }
    if (const auto at = component_of_.find(c.pid); at != component_of_.end())
        components_[at->second].pes.observe(c);
    if (c.kind == "opus") c.audio = opus_format_of(said.descriptors);  // its packets do not say it
    programme.scrambled = programme.scrambled || c.scrambled;
    programme.components.push_back(std::move(c));
}

void FlowChecks::observe_programmes(StreamObservation& into) const {
    for (const auto& [number, known] : services_.programmes()) {
        ProgrammeObservation p{.program_number = number,
                               .pmt_pid = known.pmt_pid,
                               .pmt_seen = known.pmt.has_value(),
                               .service = services_.service(number),
                               .present = services_.event(number, false),
                               .following = services_.event(number, true)};
        if (known.pmt) {
            p.pmt_version = known.pmt_version;
            p.pcr_pid = known.pmt->pcr_pid;
            for (std::size_t i = 0; i < known.pmt->components.size(); ++i) observe_component(p, *known.pmt, i);
        }
        std::optional<Moment> access;
        bool of_video = false;
        for (const auto& c : p.components) {
            const auto at = component_of_.find(c.pid);
            if (at == component_of_.end()) continue;
            const Component& component = components_[at->second];
            const bool video = component.pes.is_video();
            if (of_video && !video) continue;
            if (video && !of_video) access.reset();  // pictures decide, where there are any
            of_video = of_video || video;
            const auto& begun = component.first_access;
            if (begun && (!access || begun->packet < access->packet)) access = begun;
        }
        if (access) {
            p.first_access_packet = access->packet;
            p.first_access = access->time;
        }
        into.programmes.push_back(std::move(p));
    }
}

void FlowChecks::observe_pcrs(StreamObservation& into, IndicatorTally& tally) const {
    const bool stuffing = into.null_packets > 0;
    std::optional<Occurrences> inaccurate;
    for (const auto& track : pcrs_) {
        into.pcrs.push_back(track.observe(stuffing));
        if (const auto found = track.accuracy_errors(stuffing)) {
            if (!inaccurate) inaccurate.emplace();
            merge(*inaccurate, *found);
        }
    }
    // A PCR that a PMT promises and that never came is listed with count 0.
    for (const auto& p : into.programmes) {
        const bool listed = !p.pcr_pid || std::any_of(into.pcrs.begin(), into.pcrs.end(),
                                                      [&](const auto& o) { return o.pid == *p.pcr_pid; });
        if (listed) continue;
        into.pcrs.push_back({.pid = *p.pcr_pid, .jitter = {.reason = "fewer than 8 PCRs"}});
        if (last_certain_ && last_certain_->time && first_ && *last_certain_->time - *first_->time > kLongestPcrInterval) {
            tally.hit(Indicator::pcr_repetition, *last_certain_);
            tally.hit(Indicator::pcr, *last_certain_);
        }
    }
    std::sort(into.pcrs.begin(), into.pcrs.end(), [](auto& a, auto& b) { return a.pid < b.pid; });
    if (inaccurate) {
        tally.put(Indicator::pcr_accuracy, *inaccurate);
        return;
    }
    const auto& pcrs = into.pcrs;
    tally.not_judged(Indicator::pcr_accuracy,
                     pcrs.empty() ? "no PCR was seen"
                     : pcrs.front().jitter.judged ? "the transport rate is not constant between PCRs"
                                                  : pcrs.front().jitter.reason);
}

void FlowChecks::observe_rates(StreamObservation& into) const {
    constexpr std::int64_t bits = 8 * static_cast<std::int64_t>(kTsPacketSize);
    const auto most = std::max_element(into.pcrs.begin(), into.pcrs.end(), [](auto& a, auto& b) {
        return (a.rate ? a.count : 0) < (b.rate ? b.count : 0);
    });
    if (most != into.pcrs.end() && most->rate) into.rate = most->rate->mean;
    if (base_ != TimeBase::arrival || !first_batch_ || !into.first || !into.last) return;
    // The first packets came at the first stamp: how long they took is not known.
    const auto packets = static_cast<std::int64_t>(into.packets - *first_batch_);
    const Duration took = *into.last - *into.first;
    if (packets <= 0 || took <= Duration(0)) return;
    into.arrival_rate = BitRate(static_cast<std::int64_t>(static_cast<double>(packets * bits) * 1e9 /
                                                          static_cast<double>(took.count()) + 0.5));
    if (!into.rate) into.rate = into.arrival_rate;
}

void FlowChecks::judge_references(IndicatorTally& tally) const {
    for (const PidFacts& f : facts_)
        if (f.unreferenced_since && f.unreferenced_since->time && f.last &&
            *f.last - *f.unreferenced_since->time > kHalfSecond)
            tally.hit(Indicator::unreferenced_pid, *f.unreferenced_since);
}

void FlowChecks::judge_absences(const StreamObservation& seen, IndicatorTally& tally) const {
    using enum Indicator;
    if (last_certain_) timing_.finish(*last_certain_, tally);
    for (const Indicator i : {buffer, empty_buffer, data_delay})
        tally.not_judged(i, "the buffers of the decoder model (T-STD) are not run");
    if (first_scrambled_ && !services_.has_cat()) tally.hit(cat, *first_scrambled_);
    bool any_pmt = false, every_pmt = services_.has_pat(), any_pts = false;
    for (const auto& p : seen.programmes) {
        any_pmt = any_pmt || p.pmt_seen;
        every_pmt = every_pmt && p.pmt_seen;
        for (const auto& c : p.components) any_pts = any_pts || c.pts.count > 0;
    }
    const bool timed = last_certain_ && last_certain_->time;
    const Duration now = timed ? last_certain_->time.value_or(Duration(0)) : Duration(0);
    for (const auto& c : components_) {
        const PidTable::Id id = pids_.find(c.pid);
        const auto last = std::max({id == PidTable::kNone ? std::nullopt : facts_[id].last, c.expected.time, own_loss_});
        if (c.current && (c.pes.is_video() || c.pes.is_audio()) && timed && last && now - *last > options_.pid_period)
            tally.hit(pid, *last_certain_);
        const auto stamp = c.current ? c.pes.stamp_awaited_since() : std::nullopt;
        if (timed && stamp && now - *stamp > kLongestStampInterval) tally.hit(pts, *last_certain_);
    }
    if (by_arrival_ && timed)
        for (const auto& track : pcrs_)
            if (const auto last = track.last_time(); last && now - *last > kLongestPcrInterval) {
                tally.hit(pcr_repetition, *last_certain_);
                tally.hit(Indicator::pcr, *last_certain_);
            }
    const Duration observed = seen.first && timed ? now - *seen.first : Duration(0);
    if (!any_pmt) tally.not_judged(pid, "no PMT names components");
    else if (observed <= options_.pid_period)
        tally.not_judged(pid, "observed for no longer than the period of " + to_text(options_.pid_period));
    if (!services_.has_pat()) {
        tally.not_judged(pmt, "no PAT names a PMT");
        tally.not_judged(pmt_2, "no PAT names a PMT");
        if (observed <= kHalfSecond) {
            tally.not_judged(pat, "observed for no longer than 0.5 s");
            tally.not_judged(pat_2, "observed for no longer than 0.5 s");
        }
    }
    if (every_pmt) judge_references(tally);
    else tally.not_judged(unreferenced_pid, "not every PMT was seen");
    if (seen.pcrs.empty())
        for (const Indicator i : {Indicator::pcr, pcr_repetition, pcr_discontinuity})
            tally.not_judged(i, "no PCR was seen");
    if (!any_pts) tally.not_judged(pts, "no PTS was seen in the clear");
    if (seen.time_base == TimeBase::none)
        for (const Indicator i : {pat, pat_2, pmt, pmt_2, pid, Indicator::pcr, pcr_repetition, pts, si_repetition,
                                  unreferenced_pid})
            tally.not_judged(i, "neither arrival stamps nor PCRs tell the time");
    if (seen.packets == 0)
        for (std::size_t i = 0; i < kIndicatorCount; ++i)
            tally.not_judged(static_cast<Indicator>(i), "no transport packet was found");
}

}  // namespace mastline
