// SPDX-License-Identifier: Apache-2.0
// The faults that change transport packets in place.
#pragma once

#include <vector>

#include "tools/rehearse/fault/fault.hpp"

namespace mastline {

class PacketFaults {
public:
    // Keeps the kinds that change packets; the others are not its business.
    explicit PacketFaults(const std::vector<Fault>& faults);

    bool empty() const { return active_.empty(); }
    // `packets` leave at `now`. REQUIRES: packets.size() is a multiple of 188
    void apply(ByteSpan packets, PcrTicks now);

private:
    struct Active {
        Fault fault;
        PcrTicks next{};        // when the next jump, burst or PCR may come
        unsigned shift = 0;     // continuity: added to each counter
        std::int64_t left = 0;  // sync_loss: packets of the burst to come
        bool early = false;     // pcr_jitter: sign of the last change
        unsigned counter = 0;   // no_component: the last that was sent
    };

    static void apply(Active& active, ByteSpan packet, PcrTicks now);
    static void shift_counter(Active& active, ByteSpan packet, PcrTicks now, bool in_window);
    static void withhold_pcr(Active& active, ByteSpan packet, PcrTicks now);
    static void move_pcr(Active& active, ByteSpan packet);
    static void remove_component(Active& active, ByteSpan packet, bool in_window);
    static void break_sync(Active& active, ByteSpan packet, PcrTicks now);

    std::vector<Active> active_;
};

}  // namespace mastline
