// SPDX-License-Identifier: Apache-2.0
// All transmissions of a rehearsal in the order in which their datagrams leave.
#pragma once

#include <vector>

#include "tools/rehearse/send/transmission.hpp"

namespace mastline {

class Schedule {
public:
    explicit Schedule(std::vector<Transmission> transmissions);

    // When the next datagram leaves; PcrTicks::max() when there is none any more.
    PcrTicks due() const { return heap_.empty() ? PcrTicks::max() : heap_.front().due; }
    // REQUIRES: due() < PcrTicks::max()
    void step(Outlet& outlet);

    const std::vector<Transmission>& transmissions() const { return transmissions_; }

private:
    struct Entry {
        PcrTicks due;
        std::size_t index;
    };
    void sink_front();

    std::vector<Transmission> transmissions_;
    std::vector<Entry> heap_;  // least due first
};

}  // namespace mastline
