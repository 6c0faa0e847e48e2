// SPDX-License-Identifier: Apache-2.0
#include "mastline/flow/flow_monitor.hpp"

#include <algorithm>

#include "mastline/mpeg/pid.hpp"
#include "mastline/rtp/sequence.hpp"
#include "probe/flow/payload_kind.hpp"
#include "probe/flow/repeats.hpp"

namespace mastline {

namespace {

void widen(std::optional<ValueRange>& range, int value) {
    if (value < 0) return;
    if (!range) range = ValueRange{value, value};
    range->least = std::min(range->least, value);
    range->greatest = std::max(range->greatest, value);
}

}  // namespace

class FlowMonitor::State {
public:
    State(Destination destination, FlowOptions options)
        : options_(std::move(options)), index_(options_.media_rate) {
        out_.destination = destination;
        if (options_.recorded_bytes > 0) recorder_.emplace(options_.recorded_bytes);
    }

    void datagram(const Datagram& d);
    void own_loss(std::uint64_t count);
    void own_loss_possible();
    FlowObservation observe() const;
    FlowFaults faults() const;
    std::optional<Recording> recording() const {
        return recorder_ ? std::optional(recorder_->take()) : std::nullopt;
    }

private:
    void check(const Datagram& d);
    bool from_main_source(const Datagram& d);
    std::size_t source_index(const Datagram& d);
    void count_arrival(const Datagram& d);
    void count_packing(ByteView transport);
    bool accept_rtp(const RtpHeader& header, ByteView transport);
    void to_stream(ByteView transport, const Datagram& d);
    StreamMonitor& stream();
    std::optional<Duration> stamp(const Datagram& d) const;

    FlowOptions options_;
    FlowObservation out_;
    PayloadKind settled_ = PayloadKind::other;
    Spread inter_arrival_;
    std::optional<Duration> last_arrival_;  // of the main source
    Duration longest_{};                    // between two of its arrivals
    std::optional<RtpSequence> sequence_;
    DeliveryIndex index_;
    Repeats repeats_;
    std::optional<StreamMonitor> stream_;
    std::optional<bool> stamped_;  // decided by the first datagram of the stream
    std::optional<FlowRecorder> recorder_;
    std::uint64_t fec_like_ = 0;
    std::uint64_t silences_ = 0;
    bool main_chosen_ = false;
};

std::size_t FlowMonitor::State::source_index(const Datagram& d) {
    auto& sources = out_.sources;
    for (std::size_t i = 0; i < sources.size(); ++i)
        if (sources[i].address == d.source && sources[i].port == d.source_port) return i;
    // Beyond the bound the last entry stands for all further senders.
    if (sources.size() < FlowObservation::kMostSources) {
        sources.push_back({});
        sources.back().address = d.source;
        sources.back().port = d.source_port;
    }
    return sources.size() - 1;
}

bool FlowMonitor::State::from_main_source(const Datagram& d) {
    const std::size_t i = source_index(d);
    SourceObservation& source = out_.sources[i];
    ++source.datagrams;
    if (d.stamped) {
        if (!source.first) source.first = d.arrival;
        source.last = d.arrival;
    }
    const bool planned = options_.source && *options_.source == d.source;
    if (!main_chosen_ || (planned && !(options_.source == out_.sources[out_.main_source].address))) {
        if (main_chosen_ && stream_) stream_->lost(Loss::own);  // what came before was another's
        main_chosen_ = true;
        out_.main_source = i;
    } else if (i != out_.main_source && d.stamped && last_arrival_ &&
               d.arrival - *last_arrival_ > kSilence) {
        out_.main_source = i;
        ++out_.source_switches;
        sequence_.reset();
        if (stream_) stream_->lost(Loss::before_us);
    }
    return i == out_.main_source;
}

void FlowMonitor::State::count_arrival(const Datagram& d) {
    widen(out_.ttl, d.ttl);
    widen(out_.dscp, d.dscp);
    if (!d.stamped) return;
    if (last_arrival_) {
        const Duration step = d.arrival - *last_arrival_;
        inter_arrival_.add(step);
        if (step > kSilence) ++silences_;
        if (!out_.silent_from || step > longest_) {
            longest_ = step;
            out_.silent_from = last_arrival_;
        }
    }
    last_arrival_ = d.arrival;
}

void FlowMonitor::State::count_packing(ByteView transport) {
    const std::size_t whole = transport.size() / kTsPacketSize;
    const bool fits = transport.size() % kTsPacketSize == 0 && whole < out_.packing.size();
    ++out_.packing[fits ? whole : 0];
}

// Whether the packet belongs into the stream now.
bool FlowMonitor::State::accept_rtp(const RtpHeader& header, ByteView transport) {
    if (!out_.rtp) out_.rtp.emplace();
    RtpObservation& rtp = *out_.rtp;
    if (rtp.packets > 0 && rtp.ssrc != header.ssrc) {
        ++rtp.ssrc_changes;  // another synchronization source numbers its packets anew
        sequence_.reset();
        if (stream_) stream_->lost(Loss::before_us);
    }
    ++rtp.packets;
    rtp.ssrc = header.ssrc;
    rtp.payload_type = header.payload_type;
    if (!sequence_) sequence_.emplace();
    const auto before = *sequence_;
    const auto arrival = sequence_->add(header.sequence_number);
    rtp.lost += sequence_->lost() - before.lost();
    rtp.gaps += sequence_->gaps() - before.gaps();
    rtp.largest_gap = std::max(rtp.largest_gap, sequence_->largest_gap());
    rtp.reordered += sequence_->reordered() - before.reordered();
    rtp.duplicates += sequence_->duplicates() - before.duplicates();
    rtp.restarts += sequence_->restarts() - before.restarts();
    const std::uint64_t per_datagram = transport.size() / kTsPacketSize;
    switch (arrival) {
        case RtpSequence::Arrival::next: return true;
        case RtpSequence::Arrival::after_gap:
            index_.lost(sequence_->last_gap() * per_datagram);
            if (stream_ && sequence_->last_gap() > 0) stream_->lost(Loss::before_us);
            return true;
        case RtpSequence::Arrival::restart:
            if (stream_) stream_->lost(Loss::before_us);
            return true;
        case RtpSequence::Arrival::late: index_.lost(per_datagram); return false;
        case RtpSequence::Arrival::stray: ++rtp.strays; return false;
        case RtpSequence::Arrival::duplicate: return false;
    }
    return false;
}

StreamMonitor& FlowMonitor::State::stream() {
    if (!stream_) stream_.emplace(options_.stream);
    return *stream_;
}

// Stamps go to the stream with every call or with none.
std::optional<Duration> FlowMonitor::State::stamp(const Datagram& d) const {
    return *stamped_ ? std::optional(d.arrival) : std::nullopt;
}

void FlowMonitor::State::to_stream(ByteView transport, const Datagram& d) {
    if (!stamped_) stamped_ = d.stamped;
    if (d.stamped) index_.arrived(d.arrival, transport.size());
    stream().packets(transport, stamp(d));
    if (d.truncated) stream().lost(Loss::own);  // the rest was on the wire, not in the capture
}

void FlowMonitor::State::datagram(const Datagram& d) {
    if (!recorder_ || recorder_->full()) return check(d);
    recorder_->add(d);
    check(d);
    recorder_->met(faults());
}

FlowFaults FlowMonitor::State::faults() const {
    FlowFaults out;
    out[FlowFault::loss] = out_.rtp ? out_.rtp->gaps : 0;
    out[FlowFault::order] = out_.rtp ? out_.rtp->reordered : 0;
    out[FlowFault::repeats] = out_.repeated_datagrams + (out_.rtp ? out_.rtp->duplicates : 0);
    out[FlowFault::source] = out_.sources.empty() ? 0 : out_.sources.size() - 1;
    out[FlowFault::steady] = silences_;
    if (!stream_) return out;
    const StreamFaults stream = stream_->faults();
    out[FlowFault::sync] = stream.sync;
    out[FlowFault::pat] = stream.pat;
    out[FlowFault::pmt] = stream.pmt;
    out[FlowFault::transport_error] = stream.transport_error;
    out[FlowFault::continuity] = stream.continuity;
    out[FlowFault::crc] = stream.crc;
    out[FlowFault::pcr_interval] = stream.pcr_interval;
    out[FlowFault::pcr_continuity] = stream.pcr_continuity;
    return out;
}

void FlowMonitor::State::check(const Datagram& d) {
    ++out_.datagrams;
    out_.payload_bytes += d.payload.size();
    if (d.truncated) ++out_.truncated_datagrams;
    if (d.stamped) {
        if (!out_.first) out_.first = d.arrival;
        out_.last = d.arrival;
    }
    if (!from_main_source(d)) return;
    count_arrival(d);
    const Payload payload = classify(d.payload, settled_);
    if (payload.kind == PayloadKind::other || payload.kind == PayloadKind::rtp_fec) {
        ++out_.other_datagrams;
        fec_like_ += payload.kind == PayloadKind::rtp_fec ? 1 : 0;
        return;
    }
    settled_ = payload.kind;
    count_packing(payload.transport);
    if (payload.kind == PayloadKind::rtp_transport_packets) {
        ++out_.rtp_datagrams;
        if (!accept_rtp(payload.rtp, payload.transport)) return;
    } else {
        ++out_.udp_datagrams;
        if (repeats_.add(payload.transport)) ++out_.repeated_datagrams;
    }
    to_stream(payload.transport, d);
}

void FlowMonitor::State::own_loss(std::uint64_t count) {
    out_.own_drops += count;
    if (sequence_) sequence_->own_loss(count);
    if (stream_) stream_->lost(Loss::own);
}

void FlowMonitor::State::own_loss_possible() {
    if (sequence_) sequence_->own_loss(RtpSequence::kMaxDropout);
    if (stream_) stream_->lost(Loss::own);
}

FlowObservation FlowMonitor::State::observe() const {
    FlowObservation out = out_;
    const auto spread = inter_arrival_.observe();
    if (spread.count > 0) out.inter_arrival = spread;
    const auto index = index_.observe();
    if (index.intervals > 0) out.delivery_index = index;
    if (stream_) out.stream = stream_->observe();
    // Which of the two is told by the port, against the media flow (flow_set.cpp).
    if (fec_like_ > 0 && fec_like_ == out.other_datagrams && !stream_) out.fec = FecRole::column;
    return out;
}

FlowMonitor::FlowMonitor(Destination destination, FlowOptions options)
    : state_(std::make_unique<State>(destination, std::move(options))) {}
FlowMonitor::FlowMonitor(FlowMonitor&&) noexcept = default;
FlowMonitor& FlowMonitor::operator=(FlowMonitor&&) noexcept = default;
FlowMonitor::~FlowMonitor() = default;

void FlowMonitor::datagram(const Datagram& datagram) { state_->datagram(datagram); }
void FlowMonitor::own_loss(std::uint64_t count) { state_->own_loss(count); }
void FlowMonitor::own_loss_possible() { state_->own_loss_possible(); }
FlowObservation FlowMonitor::observe() const { return state_->observe(); }
FlowFaults FlowMonitor::faults() const { return state_->faults(); }
std::optional<Recording> FlowMonitor::recording() const { return state_->recording(); }

}  // namespace mastline
