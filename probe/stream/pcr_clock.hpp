// SPDX-License-Identifier: Apache-2.0
// Time for packets that carry no arrival stamp: between two PCRs of one PID the time of a packet
// follows from its position (ISO/IEC 13818-1, 2.4.2.2). The first packet is at zero.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>

#include "mastline/bytes/byte_reader.hpp"
#include "mastline/mpeg/pid.hpp"
#include "time_line.hpp"

namespace mastline {

class PcrClock {
public:
    // The next packet at or after `from` that carries a PCR of the clock's PID; before there is
    // one, any PCR. `run` is whole packets.
    std::optional<std::size_t> find(ByteView run, std::size_t from) const;

    // That packet comes at `index`: the line that leads up to it; unknown for the very first PCR.
    TimeLine reach(std::uint64_t index, ByteView packet);

    // No PCR came for long: the line so far, drawn on. The next PCR of any PID takes over.
    TimeLine give_up(std::uint64_t next_index);

    bool started() const { return pid_.has_value(); }

private:
    bool is_plausible(std::int64_t ticks, std::int64_t packets) const;

    std::optional<Pid> pid_;
    std::int64_t anchor_index_ = 0, anchor_ticks_ = 0;
    Duration anchor_time_{};
    bool has_anchor_time_ = false;
    std::optional<TimeLine> last_;  // good line
};

}  // namespace mastline
