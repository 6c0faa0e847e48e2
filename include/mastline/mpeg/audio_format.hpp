// SPDX-License-Identifier: Apache-2.0
// What an audio stream says of its sound.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "mastline/units/bit_rate.hpp"
#include "mastline/units/frequency.hpp"

namespace mastline {

// From the first audio frame header.
struct AudioFormat {
    std::string profile;         // "Layer II", "LC", "AC-3", "E-AC-3"
    Frequency sample_rate;
    std::uint32_t channels = 0;  // low-frequency channel included; 0: not stated in the header
    std::optional<BitRate> rate;
    bool operator==(const AudioFormat&) const = default;
};

}  // namespace mastline
