// SPDX-License-Identifier: Apache-2.0
// A transport-stream file sent over and over at its own PCR rate.
//
// From pass to pass the stream stays legal without a discontinuity: continuity counters go on per
// PID, and PCR, PTS and DTS go on from where the last pass ended. What a pass cuts off (the rest of
// a PES packet or section) stays cut off, as after a change of programme at the source. Time stamps
// in scrambled packets or in sections (cue messages, TDT) are left as they are. Faults within the
// file are sent as they are.
#pragma once

#include <vector>

#include "tools/rehearse/play/played_index.hpp"
#include "tools/rehearse/stream/packet_source.hpp"

namespace mastline {

class PlayedStream final : public PacketSource {
public:
    // `file` is what `index` was made from, and outlives this.
    PlayedStream(ByteView file, PlayedIndex index, PcrTicks start);

    PcrTicks now() const override { return now_; }
    void next(ByteSpan out) override;

private:
    // What is remembered of a PID.
    struct Counter {
        std::uint8_t last = 0;   // as sent
        std::uint8_t shift = 0;  // sent less read
        bool seen = false;
        bool joined = false;  // in this pass
    };

    void advance();
    void go_on_counting(ByteSpan packet);
    void move_time_stamps(ByteSpan packet) const;

    ByteView file_;
    PlayedIndex index_;
    PcrTicks pass_start_;
    PcrTicks now_;
    PcrTicks clock_shift_{0};
    std::int64_t at_ = 0;
    std::size_t hint_ = 0;
    std::vector<Counter> counters_;  // by PID
};

}  // namespace mastline
