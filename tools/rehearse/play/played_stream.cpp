// SPDX-License-Identifier: Apache-2.0
#include "tools/rehearse/play/played_stream.hpp"

#include "tools/rehearse/ts/pes_time.hpp"

namespace mastline {

namespace {

constexpr std::size_t kPids = 8192;

bool is_scrambled(ByteView packet) {
    return (read_u8(packet, 3) & 0xC0) != 0;
}

}  // namespace

PlayedStream::PlayedStream(ByteView file, PlayedIndex index, PcrTicks start)
    : file_(file), index_(std::move(index)), pass_start_(start), now_(start), counters_(kPids) {}

void PlayedStream::next(ByteSpan out) {
    for (; !out.empty(); out = out.subspan(kTsPacketSize)) {
        const ByteSpan packet = out.first(kTsPacketSize);
        const std::size_t from = index_.first + static_cast<std::size_t>(at_) * index_.stride;
        const ByteView read = file_.subspan(from, kTsPacketSize);
        std::copy(read.begin(), read.end(), packet.begin());
        if (read_u8(packet, 0) == kSyncByte && pid_of(packet) != kNullPid) {
            go_on_counting(packet);
            move_time_stamps(packet);
        }
        advance();
    }
}

void PlayedStream::advance() {
    if (++at_ == index_.packets) {
        at_ = 0;
        hint_ = 0;
        pass_start_ += index_.length;
        clock_shift_ = (clock_shift_ + index_.clock_length) % kPcrWrap;
        for (auto& counter : counters_) counter.joined = false;
    }
    now_ = pass_start_ + index_.time_of(at_, hint_);
}

// The first packet of a PID in a pass follows on from the last one of the pass before.
void PlayedStream::go_on_counting(ByteSpan packet) {
    Counter& counter = counters_[pid_of(packet).value()];
    const unsigned read = counter_of(packet);
    if (counter.seen && !counter.joined) {
        const unsigned wanted = counter.last + (has_payload(packet) ? 1U : 0U);
        counter.shift = static_cast<std::uint8_t>((wanted - read) & 0x0FU);
    }
    counter.seen = counter.joined = true;
    counter.last = static_cast<std::uint8_t>((read + counter.shift) & 0x0FU);
    set_counter(packet, counter.last);
}

void PlayedStream::move_time_stamps(ByteSpan packet) const {
    if (clock_shift_ == PcrTicks(0)) return;
    if (const auto value = pcr_of(packet)) write_pcr(packet, *value + clock_shift_);
    if (starts_unit(packet) && !is_scrambled(packet))
        shift_pes_times(packet.subspan(payload_start(packet)),
                        std::chrono::floor<PtsTicks>(clock_shift_));
}

}  // namespace mastline
