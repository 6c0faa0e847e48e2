// SPDX-License-Identifier: Apache-2.0
#include "tools/rehearse/stream/component_stream.hpp"

#include <algorithm>

namespace mastline {

namespace {

// From the end of a unit's sending to its decoding. Long enough for the few packets that the
// multiplex may be late, short enough for the decoder buffers of ISO/IEC 13818-1, 2.4.2.
constexpr PcrTicks kDecoderDelay = std::chrono::milliseconds(40);

}  // namespace

ComponentStream::ComponentStream(Pid pid, UnitRecipe recipe, PcrTicks time_base, PcrTicks start,
                                 PcrTicks end)
    : pid_(pid),
      recipe_(std::move(recipe)),
      time_base_(time_base),
      unit_start_(start),
      end_(end),
      packets_per_unit_(least_packets()),
      due_(start) {
    if (!fits_next_unit()) due_ = PcrTicks::max();
}

bool ComponentStream::fits_next_unit() const {
    return unit_start_ + recipe_.period + kDecoderDelay <= end_;
}

std::size_t ComponentStream::least_packets() const {
    std::size_t largest = 0;
    for (const ByteView unit : recipe_.units) largest = std::max(largest, unit.size());
    return (pes_header_size(recipe_) + largest + kTsPayloadSize - 1) / kTsPayloadSize;
}

void ComponentStream::open_unit() {
    const PcrTicks decoded = time_base_ + unit_start_ + recipe_.period + kDecoderDelay;
    const ByteView unit = recipe_.units[unit_ % recipe_.units.size()];
    pes_.open(recipe_, unit, std::chrono::floor<PtsTicks>(decoded),
              packets_per_unit_ * kTsPayloadSize);
    const auto packets = (pes_.size() + kTsPayloadSize - 1) / kTsPayloadSize;
    step_ = PcrTicks(recipe_.period) / static_cast<std::int64_t>(packets);
    ++unit_;
}

void ComponentStream::write(ByteSpan packet) {
    if (at_ == 0) open_unit();
    const std::size_t count = std::min(kTsPayloadSize, pes_.size() - at_);
    const std::size_t stuffing = kTsPayloadSize - count;
    write_header(packet, pid_, at_ == 0, stuffing > 0, true);
    set_counter(packet, counter_);
    if (stuffing > 0) write_stuffing(packet, stuffing);
    pes_.copy(at_, packet.subspan(kTsHeaderSize + stuffing, count));
    counter_ = (counter_ + 1) & 0x0FU;
    at_ += count;
    due_ += step_;
    if (at_ < pes_.size()) return;
    at_ = 0;
    unit_start_ += recipe_.period;
    due_ = fits_next_unit() ? unit_start_ : PcrTicks::max();
}

}  // namespace mastline
