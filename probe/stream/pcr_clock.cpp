// SPDX-License-Identifier: Apache-2.0
#include "pcr_clock.hpp"

#include "mastline/ts/adaptation_field.hpp"
#include "pid_table.hpp"

namespace mastline {

namespace {

constexpr std::int64_t kTicksPerMillisecond = 27000;

TsPacket packet_in(ByteView run, std::size_t index) {
    return run.subspan(index * kTsPacketSize).first<kTsPacketSize>();
}

bool carries_pcr(TsPacket packet) {
    if ((read_u8(packet, 1) & 0x80U) != 0) return false;  // transport_error_indicator
    const auto field = parse_adaptation_field(packet);
    return field && field->pcr;
}

}  // namespace

std::optional<std::size_t> PcrClock::find(ByteView run, std::size_t from) const {
    using namespace header_bits;
    const std::size_t count = run.size() / kTsPacketSize;
    const std::uint32_t compared = sync | adaptation | (pid_ ? header_bits::pid : 0U);
    const std::uint32_t wanted = (std::uint32_t{kSyncByte} << 24) | adaptation |
                                 (pid_ ? std::uint32_t{pid_->value()} << 8 : 0U);
    for (std::size_t i = from; i < count; ++i) {
        const std::uint32_t word = header_word(run.data() + i * kTsPacketSize);
        if (((word ^ wanted) & compared) == 0 && carries_pcr(packet_in(run, i))) return i;
    }
    return std::nullopt;
}

// A step outside 0 to 100 ms can be a gap or another time base: it is a gap if the packets between
// fit the rate before.
bool PcrClock::is_plausible(std::int64_t ticks, std::int64_t packets) const {
    if (ticks > 0 && ticks <= 100 * kTicksPerMillisecond) return true;
    if (!last_) return ticks > 0 && ticks <= 1000 * kTicksPerMillisecond;
    const auto span = static_cast<double>(ticks) / 0.027;
    const double foretold = static_cast<double>(packets) * static_cast<double>(last_->span.count()) /
                            static_cast<double>(last_->packets);
    return span > foretold / 2 && span < foretold * 2;
}

TimeLine PcrClock::reach(std::uint64_t index, ByteView bytes) {
    const TsPacket packet = bytes.first<kTsPacketSize>();
    const auto field = parse_adaptation_field(packet);
    const std::int64_t now = field->pcr->count();
    const auto at = static_cast<std::int64_t>(index);
    const std::int64_t packets = at - anchor_index_;
    const std::int64_t ticks = (now - anchor_ticks_ + kPcrWrap.count()) % kPcrWrap.count();
    TimeLine line;
    if (pid_ && packets > 0 && !field->discontinuity_indicator && is_plausible(ticks, packets))
        line = {.known = true, .span = Duration(ticks * 1000 / 27), .packets = packets};
    else if (last_)
        line = *last_;
    line.index = anchor_index_;
    line.start = has_anchor_time_ ? anchor_time_
                                  : Duration(anchor_index_ * line.span.count() / line.packets);
    pid_ = packet_header(packet).pid;
    if (line.known) {
        last_ = line;
        anchor_time_ = line.at(index);
        has_anchor_time_ = true;
    }
    anchor_index_ = at;
    anchor_ticks_ = now;
    return line;
}

TimeLine PcrClock::give_up(std::uint64_t next_index) {
    pid_.reset();
    if (!last_) return {};
    TimeLine line = *last_;
    line.drawn_on = true;
    line.index = anchor_index_;
    line.start = anchor_time_;
    anchor_time_ = line.at(next_index);
    anchor_index_ = static_cast<std::int64_t>(next_index);
    return line;
}

}  // namespace mastline
