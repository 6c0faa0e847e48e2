// SPDX-License-Identifier: Apache-2.0
// One component of a programme as transport packets, spread evenly over time.
#pragma once

#include "tools/rehearse/es/pes_packet.hpp"
#include "tools/rehearse/ts/packet.hpp"

namespace mastline {

class ComponentStream {
public:
    // `time_base` is what the programme's clock shows at time 0. The first access unit starts to
    // leave at `start`; none starts that would not be out by `end`.
    ComponentStream(Pid pid, UnitRecipe recipe, PcrTicks time_base, PcrTicks start, PcrTicks end);

    Pid pid() const { return pid_; }
    const UnitRecipe& recipe() const { return recipe_; }
    // The counter that a packet without payload repeats.
    unsigned last_counter() const { return (counter_ + 15U) & 0x0FU; }

    // Transport packets that the largest unit needs without filler.
    std::size_t least_packets() const;
    // From the next access unit on. REQUIRES: count >= least_packets()
    void set_packets_per_unit(std::size_t count) { packets_per_unit_ = count; }

    // When the next packet should leave; PcrTicks::max() after the last.
    PcrTicks due() const { return due_; }
    void write(ByteSpan packet);

private:
    void open_unit();
    bool fits_next_unit() const;

    Pid pid_;
    UnitRecipe recipe_;
    PcrTicks time_base_;
    PcrTicks unit_start_;
    PcrTicks end_;
    std::size_t packets_per_unit_;
    std::size_t unit_ = 0;
    PesPacket pes_;
    std::size_t at_ = 0;  // in pes_; 0: a new unit opens
    PcrTicks step_{};
    PcrTicks due_;
    unsigned counter_ = 0;
};

}  // namespace mastline
