// SPDX-License-Identifier: Apache-2.0
// When each packet of a constant-rate transport stream leaves, exact over any length of time: the
// fraction of a tick is carried as a remainder over the rate, never rounded.
#pragma once

#include <cstdint>

#include "mastline/mpeg/pid.hpp"
#include "mastline/units/bit_rate.hpp"
#include "mastline/units/ticks.hpp"

namespace mastline {

class PacketClock {
public:
    // REQUIRES: rate > 0
    explicit PacketClock(BitRate rate, PcrTicks start = PcrTicks(0)) : now_(start) {
        set_rate(rate);
    }

    // Departure of the first bit of the current packet, rounded down.
    PcrTicks now() const { return now_; }
    BitRate rate() const { return BitRate(rate_); }

    // Time of byte `byte` of the current packet, rounded down to a tick (37 ns).
    PcrTicks at_byte(std::int64_t byte) const {
        return now_ + PcrTicks((remainder_ + byte * kBitTicks) / rate_);
    }
    // A packet lasts this long, rounded up.
    PcrTicks packet_time() const { return PcrTicks(whole_ + (part_ > 0 ? 1 : 0)); }

    void advance() {
        now_ += PcrTicks(whole_);
        remainder_ += part_;
        if (remainder_ >= rate_) {
            remainder_ -= rate_;
            ++now_;
        }
    }

    // From the current packet on. What is lost of a tick at the change is below 37 ns, once.
    void set_rate(BitRate rate) {
        rate_ = rate.bits_per_second();
        whole_ = kPacketTicks / rate_;
        part_ = kPacketTicks % rate_;
        remainder_ = 0;
    }

private:
    static constexpr std::int64_t kBitTicks = 8 * std::int64_t{PcrTicks::period::den};
    static constexpr std::int64_t kPacketTicks = std::int64_t{kTsPacketSize} * kBitTicks;

    PcrTicks now_;
    std::int64_t rate_ = 1;
    std::int64_t whole_ = 0;      // ticks per packet
    std::int64_t part_ = 0;       // and the rest, in 1/rate of a tick
    std::int64_t remainder_ = 0;  // of now_, in 1/rate of a tick
};

}  // namespace mastline
