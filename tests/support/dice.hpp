// SPDX-License-Identifier: Apache-2.0
// Seeded chance for property tests: the same seed gives the same cases on every machine.
#pragma once

#include <cstdint>
#include <random>

namespace mastline::test {

class Dice {
public:
    explicit Dice(std::uint32_t seed) : engine_(seed) {}
    // 0 to n - 1. REQUIRES: n > 0
    std::uint32_t below(std::uint32_t n) { return static_cast<std::uint32_t>(engine_() % n); }
    bool one_in(std::uint32_t n) { return below(n) == 0; }

private:
    std::mt19937 engine_;
};

}  // namespace mastline::test
