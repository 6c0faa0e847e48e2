// SPDX-License-Identifier: Apache-2.0
// One section repeated at a fixed interval.
#pragma once

#include <vector>

#include "tools/rehearse/ts/sections.hpp"

namespace mastline {

class SectionStream {
public:
    SectionStream(Pid pid, const Section& section, PcrTicks interval, PcrTicks start)
        : packets_(section_packets(pid, section)), interval_(interval), due_(start) {}

    PcrTicks interval() const { return interval_; }
    std::size_t packet_count() const { return packets_.size(); }
    PcrTicks due() const { return due_; }
    void write(ByteSpan packet) {
        std::copy(packets_[at_].begin(), packets_[at_].end(), packet.begin());
        set_counter(packet, counter_);
        counter_ = (counter_ + 1) & 0x0FU;
        if (++at_ < packets_.size()) return;
        at_ = 0;
        due_ += interval_;
    }

private:
    std::vector<Packet> packets_;
    PcrTicks interval_;
    PcrTicks due_;  // stays until the last packet of the section is out
    std::size_t at_ = 0;
    unsigned counter_ = 0;
};

}  // namespace mastline
