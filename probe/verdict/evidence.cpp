// SPDX-License-Identifier: Apache-2.0
#include "mastline/verdict/evidence.hpp"

#include <algorithm>
#include <map>
#include <set>

#include "mastline/flow/flow_monitor.hpp"
#include "mastline/source/frame_decoder.hpp"
#include "mastline/source/pcap_writer.hpp"

namespace mastline {

namespace {

// Where a fault showed first.
struct Place {
    std::size_t packet = 0;
    Duration at{};
    std::vector<Pid> pids;
};

std::map<Pid, std::uint64_t> continuity_by_pid(const FlowMonitor& monitor) {
    std::map<Pid, std::uint64_t> out;
    const auto seen = monitor.observe();
    if (seen.stream)
        for (const auto& p : seen.stream->pids) out[p.pid] = p.continuity_errors;
    return out;
}

std::vector<Pid> crc_pids(const FlowMonitor& monitor) {
    std::vector<Pid> out;
    const auto seen = monitor.observe();
    if (seen.stream)
        for (const auto& e : seen.stream->crc_errors) out.push_back(e.pid);
    return out;
}

// Goes through a recording as a reader of the file does, and notes the first packet of each fault.
class Replay final : public PacketSink {
public:
    Replay(const Expectation& expected) : monitor_(destination_of(expected.flow), options(expected)) {}

    void play(const std::vector<KeptPacket>& packets) {
        FrameDecoder decoder(*this);
        for (const auto& p : packets) {
            ++number_;
            decoder.add({p.bytes, p.arrival, true, p.link, static_cast<std::uint32_t>(p.bytes_on_wire)});
        }
    }
    void on_datagram(const Datagram& d) override {
        monitor_.datagram(d);
        const FlowFaults now = monitor_.faults();
        for (std::size_t i = 0; i < kFlowFaults; ++i)
            if (now.counts[i] != before_.counts[i]) note(static_cast<FlowFault>(i), d.arrival);
        before_ = now;
    }
    const Place* place_of(std::string_view check) const {
        for (const auto& [fault, place] : places_)
            if (check_of(fault) == check) return &place;
        return nullptr;
    }
    FlowObservation observe() const { return monitor_.observe(); }

private:
    static FlowOptions options(const Expectation& expected) {
        FlowOptions out;
        out.source = expected.source;
        out.media_rate = expected.rate;
        return out;
    }
    void note(FlowFault fault, Duration at) {
        if (places_.contains(fault)) return;
        Place place{number_, at, {}};
        if (fault == FlowFault::continuity)
            for (const auto& [pid, errors] : continuity_by_pid(monitor_))
                if (errors > 0) place.pids.push_back(pid);
        if (fault == FlowFault::crc) place.pids = crc_pids(monitor_);
        places_.emplace(fault, std::move(place));
    }

    FlowMonitor monitor_;
    FlowFaults before_;
    std::size_t number_ = 0;
    std::map<FlowFault, Place> places_;
};

bool fails(const Verdict& verdict, std::string_view check) {
    return std::ranges::any_of(verdict.checks, [&](const Check& c) {
        return c.id == check && c.outcome == Outcome::failed;
    });
}

Pointer pointer_to(const Check& check, const Replay& replay, const Verdict& alone, const Expectation& expected) {
    Pointer out{std::string(check.id), check.expected, check.found, check.evidence, std::string(rule_of(check.id)),
                std::nullopt, std::nullopt, {}, fails(alone, check.id)};
    if (const Place* place = replay.place_of(check.id)) {
        out.packet = place->packet;
        out.at = place->at;
        out.pids = place->pids;
    }
    if (check.id.starts_with("stream.pcr")) out.pids = {expected.pcr_pid};
    if (check.id == "stream.pmt" || check.id == "stream.components") out.pids = {expected.pmt_pid};
    return out;
}

std::vector<LinkType> links_of(const std::vector<KeptPacket>& packets) {
    std::set<LinkType> out;
    for (const auto& p : packets) out.insert(p.link);
    return {out.begin(), out.end()};
}

}  // namespace

std::string evidence_file_name(const Verdict& verdict) {
    std::string out = "channel-" + channel_text(verdict.channel, verdict.copy) + "-" +
                      to_text(verdict.flow.group) + "-" + std::to_string(verdict.flow.port.number);
    for (char& c : out) {
        const bool plain = (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '.';
        if (!plain) c = '-';
    }
    return out;
}

Evidence make_evidence(const Verdict& verdict, const Expectation& expected, const ExpectedLineup& lineup,
                       const Recording& recording) {
    Evidence out{verdict.channel, verdict.copy, verdict.name, verdict.flow, {}, recording.packets.size(),
                 links_of(recording.packets), {}, {}, {}, recording.rebuilt, {}, {}};
    Replay replay(expected);
    replay.play(recording.packets);
    Watch watch;
    if (!recording.packets.empty()) {
        out.file = evidence_file_name(verdict) + std::string(capture_ending(recording.packets));
        watch.start = out.first = recording.packets.front().arrival;
        watch.end = out.last = recording.packets.back().arrival;
    }
    if (recording.fault_packet) out.fault_packet = *recording.fault_packet + 1;
    const auto seen = replay.observe();
    const Verdict alone = judge(expected, &seen, lineup, watch);
    for (const auto& c : verdict.checks)
        if (c.outcome == Outcome::failed) out.look_at.push_back(pointer_to(c, replay, alone, expected));
    return out;
}

}  // namespace mastline
