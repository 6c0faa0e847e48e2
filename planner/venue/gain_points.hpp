// SPDX-License-Identifier: Apache-2.0
// Gains over frequency as the venue files write them: "7 dB" or ["6 dB at 950 MHz", ...].
#pragma once

#include <string_view>
#include <vector>

#include "mastline/text/table_reader.hpp"
#include "mastline/venue/device_data.hpp"

namespace mastline {

// In order of frequency. A text without "at" is flat and stands alone.
std::vector<GainPoint> read_gains(TableReader& reader, std::string_view key);

// As read_gains, for a loss: written positive, returned as negative gain.
std::vector<GainPoint> read_losses(TableReader& reader, std::string_view key);

}  // namespace mastline
