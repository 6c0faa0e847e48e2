// SPDX-License-Identifier: Apache-2.0
#include "mastline/flow/flow_monitor.hpp"

#include <algorithm>
#include <cmath>

#include "mastline/mpeg/pid.hpp"
#include "mastline/rtp/sequence.hpp"
#include "probe/flow/payload_kind.hpp"
#include "probe/flow/reorder_window.hpp"
#include "probe/flow/repair_monitor.hpp"
#include "probe/flow/repeats.hpp"

namespace mastline {

namespace {

void widen(std::optional<ValueRange>& range, int value) {
    if (value < 0) return;
    if (!range) range = ValueRange{value, value};
    range->least = std::min(range->least, value);
    range->greatest = std::max(range->greatest, value);
}

// Of a datagram that the capture cut, the whole packets are looked at; the rest was on the wire.
void feed(StreamMonitor& stream, ByteView transport, std::optional<Duration> arrival, bool truncated) {
    if (truncated) transport = transport.first(transport.size() / kTsPacketSize * kTsPacketSize);
    stream.packets(transport, arrival);
    if (truncated) stream.lost(Loss::own);
}

void feed(StillCollector& still, ByteView transport, std::optional<Duration> arrival, bool truncated) {
    if (truncated) still.lost();
    else still.packets(transport, arrival);
}

}  // namespace

class FlowMonitor::State {
public:
    State(Destination destination, FlowOptions options)
        : index_(options.media_rate), options_(std::move(options)) {
        out_.destination = destination;
        if (options_.recorded_bytes > 0) recorder_.emplace(options_.recorded_bytes);
        if (options_.over_time) course_.emplace();
    }

    void datagram(const Datagram& d);
    void own_loss(std::uint64_t count);
    void own_loss_possible();
    // Two and four ports below: whom repair packets here protect (SMPTE ST 2022-1).
    void may_repair(State* two_below, State* four_below);
    FlowObservation observe() const;
    FlowFaults faults() const;
    StreamObservation observe_stream() const;
    std::optional<BitRate> rate_on_wire() const;
    std::optional<Recording> recording() const {
        return recorder_ ? std::optional(recorder_->take()) : std::nullopt;
    }
    void want_still(ProgramNumber programme) {
        still_.emplace(programme);
        still_of_ = programme;
    }
    FlowMonitor looking_alike(Destination destination) const;
    void end_still() { still_.reset(); }
    std::optional<StillMaterial> still() const { return still_ ? std::optional(still_->material()) : std::nullopt; }

private:
    void check(const Datagram& d);
    bool from_main_source(const Datagram& d);
    std::size_t source_index(const Datagram& d);
    void count_arrival(const Datagram& d);
    void count_vlan(const VlanTags& tags);
    void count_packing(const Payload& payload);
    RtpSequence::Arrival count_rtp(const RtpHeader& header);
    void accept_rtp(const Payload& payload, const Datagram& d);
    struct Piece;
    void keep_stray(const Piece& piece);
    void begin_anew_with_stray(std::uint16_t second);
    bool put_in_order(const Piece& piece);
    void accept_repair(const Payload& payload, const Datagram& d);
    void follow_repair(const RtpHeader& header, const Datagram& d, RtpSequence::Arrival arrival);
    void sequence_begins_anew();
    void to_stream(ByteView transport, Duration arrival, bool truncated);
    void repeat_to_stream(ByteView transport, Duration arrival);
    void stream_lost(Loss whose);
    void to_index(std::size_t transport_bytes, Duration arrival);
    void give_up_waiting();
    StreamMonitor& stream();

    // What every datagram touches stands together, first.
    std::optional<StreamMonitor> stream_;
    std::optional<StillCollector> still_;   // where a still is wanted
    std::optional<Duration> last_arrival_;  // of the main source
    Duration longest_{};                    // between two of its arrivals
    PayloadKind settled_ = PayloadKind::other;
    PacketForm form_ = PacketForm::bare;
    std::optional<bool> stamped_;  // decided by the first datagram of the stream
    bool main_chosen_ = false;
    DeliveryIndex index_;
    FlowObservation out_;
    FlowOptions options_;
    std::optional<FlowRecorder> recorder_;
    std::optional<FlowCourse> course_;
    std::optional<RtpSequence> sequence_;
    ReorderWindow in_order_;
    std::uint64_t fec_like_ = 0;
    State* two_below_ = nullptr;
    State* four_below_ = nullptr;
    std::unique_ptr<RepairMonitor> repair_;  // once there are repair packets for this flow
    std::uint64_t silences_ = 0;
    Spread inter_arrival_;
    Repeats repeats_;

    // What an RTP datagram brings to the stream.
    struct Piece {
        std::uint16_t number = 0;
        ByteView transport;
        std::size_t wire_size = 0;
        Duration arrival{};
        bool stamped = false, truncated = false;
    };
    // One with a number far from all others.
    struct Stray {
        Piece piece;
        std::vector<std::byte> bytes;  // what `piece` views
    };
    std::unique_ptr<Stray> stray_;  // the last
    ProgramNumber still_of_;        // where a still is wanted
    std::vector<std::byte> bare_;   // packets of another form, without what surrounds them
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
        if (main_chosen_) stream_lost(Loss::own);  // what came before was another's
        main_chosen_ = true;
        out_.main_source = i;
    } else if (i != out_.main_source && d.stamped && last_arrival_ &&
               d.arrival - *last_arrival_ > kSilence) {
        out_.main_source = i;
        ++out_.source_switches;
        sequence_begins_anew();
    }
    return i == out_.main_source;
}

void FlowMonitor::State::count_arrival(const Datagram& d) {
    widen(out_.ttl, d.ttl);
    widen(out_.dscp, d.dscp);
    if (d.frame.vlans.told) count_vlan(d.frame.vlans);
    if (!d.stamped) return;
    if (course_) course_->arrived(d.arrival, d.wire_size());
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

void FlowMonitor::State::count_vlan(const VlanTags& tags) {
    auto found = std::ranges::find(out_.vlans, tags, &VlanObservation::tags);
    if (found == out_.vlans.end()) {
        // Beyond the bound the last entry stands for all further ones.
        if (out_.vlans.size() < FlowObservation::kMostVlans) out_.vlans.push_back({tags, 0});
        found = out_.vlans.end() - 1;
    }
    ++found->datagrams;
}

void FlowMonitor::State::count_packing(const Payload& payload) {
    const std::size_t whole = payload.wire_size / kTsPacketSize;
    const ByteView bytes = payload.transport;
    // One wrong sync byte alone is damage.
    const bool begins = bytes.size() <= kTsPacketSize || read_u8(bytes, 0) == kSyncByte || read_u8(bytes, kTsPacketSize) == kSyncByte;
    const bool fits = payload.wire_size % kTsPacketSize == 0 && whole < out_.packing.size() && begins;
    ++out_.packing[fits ? whole : 0];
}

void FlowMonitor::State::sequence_begins_anew() {
    give_up_waiting();
    sequence_.reset();
    if (repair_) repair_->restart();
    stream_lost(Loss::before_us);
}

RtpSequence::Arrival FlowMonitor::State::count_rtp(const RtpHeader& header) {
    if (!out_.rtp) out_.rtp.emplace();
    RtpObservation& rtp = *out_.rtp;
    if (rtp.packets > 0 && rtp.ssrc != header.ssrc) {
        ++rtp.ssrc_changes;  // another synchronization source numbers its packets anew
        sequence_begins_anew();
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
    rtp.strays += arrival == RtpSequence::Arrival::stray ? 1 : 0;
    return arrival;
}

void FlowMonitor::State::accept_rtp(const Payload& payload, const Datagram& d) {
    using Arrival = RtpSequence::Arrival;
    const auto arrival = count_rtp(payload.rtp);
    if (repair_) follow_repair(payload.rtp, d, arrival);
    const Piece piece{payload.rtp.sequence_number, payload.transport, payload.wire_size, d.arrival, d.stamped, d.truncated};
    if (arrival == Arrival::stray) return keep_stray(piece);
    if (arrival == Arrival::duplicate) return;
    const std::uint64_t per_datagram = payload.wire_size / kTsPacketSize;
    // RFC 4445 section 3.2: lost or out of order. One that comes late was counted with its gap.
    if (arrival == Arrival::after_gap) index_.lost(sequence_->last_gap() * per_datagram);
    if (arrival == Arrival::restart) begin_anew_with_stray(piece.number);
    // The stream knows already of what we dropped ourselves.
    if (arrival == Arrival::after_gap && sequence_->last_gap() == 0) give_up_waiting();
    if (put_in_order(piece) && arrival == Arrival::late) ++out_.rtp->restored;
}

// False: its place in the stream is taken.
bool FlowMonitor::State::put_in_order(const Piece& piece) {
    if (piece.stamped) to_index(piece.wire_size, piece.arrival);
    return in_order_.add(
        sequence_->extended(piece.number), piece.transport, piece.arrival, piece.truncated,
        [this](ByteView bytes, Duration at, bool truncated) { to_stream(bytes, at, truncated); },
        [this] { stream_lost(Loss::before_us); });
}

void FlowMonitor::State::keep_stray(const Piece& piece) {
    stray_ = std::make_unique<Stray>(Stray{piece, {piece.transport.begin(), piece.transport.end()}});
    stray_->piece.transport = stray_->bytes;
}

// The sender's numbers begin anew with the stray before `second`; its packets are no loss.
void FlowMonitor::State::begin_anew_with_stray(std::uint16_t second) {
    give_up_waiting();
    stream_lost(Loss::before_us);
    if (!stray_ || static_cast<std::uint16_t>(stray_->piece.number + 1) != second) return;
    --out_.rtp->strays;
    put_in_order(stray_->piece);
    stray_.reset();
}

// What follows is no continuation of what is missing now.
void FlowMonitor::State::give_up_waiting() {
    in_order_.release([this](ByteView bytes, Duration at, bool truncated) { to_stream(bytes, at, truncated); },
                      [this] { stream_lost(Loss::before_us); });
    in_order_.start_anew();
}

void FlowMonitor::State::follow_repair(const RtpHeader& header, const Datagram& d, RtpSequence::Arrival arrival) {
    if (arrival == RtpSequence::Arrival::stray || arrival == RtpSequence::Arrival::duplicate) return;
    if (arrival == RtpSequence::Arrival::restart) repair_->restart();
    const bool own = arrival == RtpSequence::Arrival::after_gap && sequence_->last_gap_is_partly_own();
    repair_->media(sequence_->extended(header.sequence_number), header, d.payload, !d.truncated, own);
}

void FlowMonitor::State::accept_repair(const Payload& payload, const Datagram& d) {
    ++fec_like_;
    const auto arrival = count_rtp(payload.rtp);
    if (arrival == RtpSequence::Arrival::stray || arrival == RtpSequence::Arrival::duplicate) return;
    const auto carries = [](const State* media) { return media != nullptr && media->out_.rtp_datagrams > 0; };
    State* media = carries(two_below_) ? two_below_ : carries(four_below_) ? four_below_ : nullptr;
    if (media == nullptr) return;
    if (!media->repair_)
        media->repair_ = std::make_unique<RepairMonitor>(media->sequence_.value_or(RtpSequence()));
    media->repair_->repair(media == two_below_ ? RepairKind::column : RepairKind::row, payload.repair, !d.truncated);
}

void FlowMonitor::State::may_repair(State* two_below, State* four_below) {
    two_below_ = two_below;
    four_below_ = four_below;
}

StreamMonitor& FlowMonitor::State::stream() {
    if (!stream_) stream_.emplace(options_.stream);
    return *stream_;
}

// Stamps go to the stream with every call or with none.
void FlowMonitor::State::to_stream(ByteView transport, Duration arrival, bool truncated) {
    const auto stamp = *stamped_ ? std::optional(arrival) : std::nullopt;
    feed(stream(), transport, stamp, truncated);
    if (still_) feed(*still_, transport, stamp, truncated);
}

// A receiver of bare UDP has nothing to keep it out by: it stays in the stream, and what it breaks is told as its own.
void FlowMonitor::State::repeat_to_stream(ByteView transport, Duration arrival) {
    ++out_.repeated_datagrams;
    const auto before = stream().faults().continuity;
    to_stream(transport, arrival, false);
    out_.repeats_continuity_errors += stream().faults().continuity - before;
}

void FlowMonitor::State::stream_lost(Loss whose) {
    if (stream_) stream_->lost(whose);
    if (still_) still_->lost();
}

void FlowMonitor::State::to_index(std::size_t transport_bytes, Duration arrival) {
    const auto before = index_.intervals();
    index_.arrived(arrival, transport_bytes);
    if (course_ && index_.intervals() != before) course_->told(index_.last_delay_factor());
}

void FlowMonitor::State::datagram(const Datagram& d) {
    if (course_ && d.stamped && course_->begins_cell(d.arrival)) course_->met(faults());
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
    out_.payload_bytes += d.wire_size();
    if (d.truncated) ++out_.truncated_datagrams;
    if (d.stamped) {
        if (!out_.first) out_.first = d.arrival;
        out_.last = d.arrival;
    }
    if (!from_main_source(d)) return;
    count_arrival(d);
    Payload payload = d.truncated ? classify_cut(d.payload, d.wire_size(), settled_) : classify(d.payload, settled_, form_);
    if (payload.form != PacketForm::bare) {
        form_ = payload.form;
        out_.packet_size = size_of(form_);
        strip(payload.transport, form_, bare_);
        payload.transport = bare_;
    }
    if (!d.truncated) payload.wire_size = payload.transport.size();
    if (payload.kind == PayloadKind::other || payload.kind == PayloadKind::rtp_fec) {
        ++out_.other_datagrams;
        if (payload.kind == PayloadKind::rtp_fec) accept_repair(payload, d);
        return;
    }
    settled_ = payload.kind;
    if (!stamped_) stamped_ = d.stamped;
    count_packing(payload);
    if (payload.kind == PayloadKind::rtp_transport_packets) {
        ++out_.rtp_datagrams;
        accept_rtp(payload, d);
        return;
    }
    ++out_.udp_datagrams;
    const bool repeated = !d.truncated && repeats_.add(payload.transport);
    if (d.stamped) to_index(payload.wire_size, d.arrival);
    if (repeated) return repeat_to_stream(payload.transport, d.arrival);
    to_stream(payload.transport, d.arrival, d.truncated);
}

FlowMonitor FlowMonitor::State::looking_alike(Destination destination) const {
    FlowMonitor out(destination, options_);
    if (still_) out.want_still(still_of_);
    return out;
}

void FlowMonitor::State::own_loss(std::uint64_t count) {
    out_.own_drops += count;
    give_up_waiting();
    if (sequence_) sequence_->own_loss(count);
    stream_lost(Loss::own);
}

void FlowMonitor::State::own_loss_possible() {
    out_.own_drops_possible = true;
    give_up_waiting();
    if (sequence_) sequence_->own_loss(RtpSequence::kMaxDropout);
    stream_lost(Loss::own);
}

// As if nothing more came.
StreamObservation FlowMonitor::State::observe_stream() const {
    if (!in_order_.holding()) return stream_->observe();
    StreamMonitor ended(*stream_);
    ReorderWindow rest(in_order_);
    rest.release(
        [&](ByteView bytes, Duration at, bool truncated) {
            feed(ended, bytes, *stamped_ ? std::optional(at) : std::nullopt, truncated);
        },
        [&] { ended.lost(Loss::before_us); });
    return ended.observe();
}

// Of the packets that were sent, whatever the capture kept of them: those of the first datagram came before the time
// in which the others did.
std::optional<BitRate> FlowMonitor::State::rate_on_wire() const {
    if (!out_.first || !out_.last || *out_.last <= *out_.first || out_.packing[0] > 0) return std::nullopt;
    std::uint64_t datagrams = 0, packets = 0;
    for (std::size_t n = 1; n < out_.packing.size(); ++n) datagrams += out_.packing[n], packets += n * out_.packing[n];
    const double bits = static_cast<double>(packets * kTsPacketSize * 8) * static_cast<double>(datagrams - 1) / static_cast<double>(datagrams);
    return BitRate(std::llround(bits * 1e9 / static_cast<double>((*out_.last - *out_.first).count())));
}

FlowObservation FlowMonitor::State::observe() const {
    FlowObservation out = out_;
    const auto spread = inter_arrival_.observe();
    if (spread.count > 0) out.inter_arrival = spread;
    const auto index = index_.observe();
    if (index.intervals > 0) out.delivery_index = index;
    if (course_ && last_arrival_) out.course = course_->observe(faults());
    if (stream_) out.stream = observe_stream();
    if (out.stream && out.truncated_datagrams > 0) out.stream->rate = out.stream->arrival_rate = rate_on_wire();
    if (repair_) out.repair = repair_->observe();
    // Which of the two is told by the port, against the media flow (flow_set.cpp).
    if (fec_like_ > 0 && fec_like_ == out.other_datagrams && !stream_) out.fec = FecRole::column;
    return out;
}

FlowMonitor::FlowMonitor(Destination destination, FlowOptions options)
    : state_(std::make_unique<State>(destination, std::move(options))) {}
FlowMonitor::FlowMonitor(FlowMonitor&&) noexcept = default;
FlowMonitor& FlowMonitor::operator=(FlowMonitor&&) noexcept = default;
FlowMonitor::~FlowMonitor() = default;

FlowMonitor FlowMonitor::looking_alike(Destination destination) const { return state_->looking_alike(destination); }

void FlowMonitor::datagram(const Datagram& datagram) { state_->datagram(datagram); }
void FlowMonitor::own_loss(std::uint64_t count) { state_->own_loss(count); }
void FlowMonitor::own_loss_possible() { state_->own_loss_possible(); }
FlowObservation FlowMonitor::observe() const { return state_->observe(); }
FlowFaults FlowMonitor::faults() const { return state_->faults(); }
void FlowMonitor::may_repair(FlowMonitor* two_below, FlowMonitor* four_below) {
    state_->may_repair(two_below == nullptr ? nullptr : two_below->state_.get(),
                       four_below == nullptr ? nullptr : four_below->state_.get());
}
std::optional<Recording> FlowMonitor::recording() const { return state_->recording(); }
void FlowMonitor::want_still(ProgramNumber programme) { state_->want_still(programme); }
void FlowMonitor::end_still() { state_->end_still(); }
std::optional<StillMaterial> FlowMonitor::still() const { return state_->still(); }

}  // namespace mastline
