// SPDX-License-Identifier: Apache-2.0
// A small generator of our own, so that every machine makes the same choices.
#pragma once

#include <cstddef>
#include <cstdint>

namespace mastline::packing {

class Dice {
public:
    explicit Dice(std::uint64_t seed) : state_(seed * 0x9E3779B97F4A7C15ULL + 1) {}

    double roll() { return static_cast<double>(next() >> 11) * 0x1p-53; }  // 0 to 1
    std::size_t below(std::size_t n) { return static_cast<std::size_t>(next() % n); }

private:
    std::uint64_t next() {  // xorshift64 (Marsaglia, 2003)
        state_ ^= state_ << 13;
        state_ ^= state_ >> 7;
        state_ ^= state_ << 17;
        return state_;
    }

    std::uint64_t state_;
};

}  // namespace mastline::packing
