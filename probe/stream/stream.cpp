// SPDX-License-Identifier: Apache-2.0
#include "mastline/stream/stream.hpp"

#include <functional>

#include "flow_checks.hpp"
#include "packet_framer.hpp"
#include "pcr_clock.hpp"

namespace mastline {

class StreamMonitor::State {
public:
    explicit State(StreamOptions options) : checks_(options) {}

    void packets(ByteView bytes, std::optional<Duration> arrival) {
        bytes_ += bytes.size();
        at_hand_ = bytes;
        framer_.feed(
            bytes,
            [&](ByteView run) { arrival ? stamped(run, *arrival) : unstamped(run); },
            [&] {
                flush();
                checks_.sync_lost();
            });
        keep_waiting();
        release_checked();
        at_hand_ = {};
    }

    void lost(Loss whose) {
        if (framer_.locked() || whose == Loss::own) framer_.finish([&](ByteView run) { take(run); });
        framer_.drop_partial();
        if (whose != Loss::own) return checks_.packets_missing(held_packets());
        flush();
        checks_.own_loss();
    }

    // What waits for bytes that may yet come.
    bool holds_back() const { return framer_.holds_packets() || held_packets() > 0; }
    void finish() {
        framer_.finish([&](ByteView run) { take(run); });
        flush();
    }

    StreamObservation observe() const {
        StreamObservation out = checks_.observe();
        out.bytes = bytes_;
        out.bytes_skipped = framer_.skipped();
        out.in_sync = framer_.locked();
        return out;
    }

    StreamFaults faults() const { return checks_.faults(); }

private:
    // A stretch without a PCR longer than this is not waited for.
    static constexpr std::size_t kMostHeld = 4'000'000 / kTsPacketSize * kTsPacketSize;

    void take(ByteView run) { by_arrival_ ? stamped(run, last_arrival_) : unstamped(run); }

    void stamped(ByteView run, Duration arrival) {
        by_arrival_ = true;
        last_arrival_ = arrival;
        checks_.arrived(run, arrival);
    }

    // Goes from PCR to PCR: only when the next is there is the time of the packets before it known.
    void unstamped(ByteView run) {
        const std::uint64_t base = checks_.next_index() + held_packets();
        std::size_t done = 0, from = 0;
        while (const auto found = clock_.find(run, from)) {
            const ByteView packet = run.subspan(*found * kTsPacketSize, kTsPacketSize);
            const TimeLine line = clock_.reach(base + *found, packet);
            from = *found + 1;
            if (!line.known) continue;
            check_held(line);
            checks_.packets(run.subspan(done * kTsPacketSize, (*found - done) * kTsPacketSize), line, false);
            done = *found;
        }
        const bool stays = lies_in(run, at_hand_);
        if (stays) note_checked(run.first(done * kTsPacketSize));
        else checks_.release(run.first(done * kTsPacketSize));
        wait(run.subspan(done * kTsPacketSize), stays);
        if (held_packets() > kMostHeld / kTsPacketSize) flush();
    }

    // What is at hand is waited for where it stands, as far as it is one piece.
    void wait(ByteView rest, bool stays) {
        if (!stays || !joins(waiting_, rest)) keep_waiting();
        if (stays) waiting_ = joined(waiting_, rest);
        else held_.insert(held_.end(), rest.begin(), rest.end());
    }

    void note_checked(ByteView part) {
        if (!joins(checked_, part)) release_checked();
        checked_ = joined(checked_, part);
    }

    void release_checked() {
        checks_.release(checked_);
        checked_ = {};
    }

    void keep_waiting() {
        held_.insert(held_.end(), waiting_.begin(), waiting_.end());
        waiting_ = {};
    }

    std::size_t held_packets() const { return (held_.size() + waiting_.size()) / kTsPacketSize; }

    static bool lies_in(ByteView part, ByteView whole) {
        const std::less_equal<const std::byte*> up_to;
        return up_to(whole.data(), part.data()) && up_to(part.data() + part.size(), whole.data() + whole.size());
    }

    static bool joins(ByteView front, ByteView back) {
        return front.empty() || back.empty() || front.data() + front.size() == back.data();
    }
    // REQUIRES: joins(front, back)
    static ByteView joined(ByteView front, ByteView back) {
        if (front.empty() || back.empty()) return front.empty() ? back : front;
        return {front.data(), front.size() + back.size()};
    }

    void check_held(const TimeLine& line) {
        if (!held_.empty()) {
            checks_.packets(held_, line, false);
            checks_.release(held_);
            held_.clear();
        }
        checks_.packets(waiting_, line, false);
        note_checked(waiting_);
        waiting_ = {};
    }

    void flush() {
        if (held_packets() > 0) check_held(clock_.give_up(checks_.next_index() + held_packets()));
    }

    PacketFramer framer_;
    std::vector<std::byte> held_;
    ByteView at_hand_;   // during packets()
    ByteView waiting_;   // behind held_, in what is at hand
    ByteView checked_;   // in what is at hand, not yet released
    std::uint64_t bytes_ = 0;
    bool by_arrival_ = false;
    Duration last_arrival_{};
    FlowChecks checks_;
    PcrClock clock_;
};

StreamMonitor::StreamMonitor(StreamOptions options) : state_(std::make_unique<State>(options)) {}
StreamMonitor::StreamMonitor(const StreamMonitor& other) : state_(std::make_unique<State>(*other.state_)) {}
StreamMonitor::StreamMonitor(StreamMonitor&&) noexcept = default;
StreamMonitor& StreamMonitor::operator=(StreamMonitor&&) noexcept = default;
StreamMonitor::~StreamMonitor() = default;

void StreamMonitor::packets(ByteView ts_bytes, std::optional<Duration> arrival) {
    state_->packets(ts_bytes, arrival);
}

StreamFaults StreamMonitor::faults() const { return state_->faults(); }

void StreamMonitor::lost(Loss whose) { state_->lost(whose); }

StreamObservation StreamMonitor::observe() const {
    if (!state_->holds_back()) return state_->observe();
    State ended(*state_);
    ended.finish();
    StreamObservation out = ended.observe();
    return out;
}

}  // namespace mastline
