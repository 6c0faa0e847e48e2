// SPDX-License-Identifier: Apache-2.0
// Times of EN 300 468: modified Julian date and binary coded decimals (annex C), and of A/65.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "mastline/bytes/byte_reader.hpp"
#include "mastline/ts/section.hpp"
#include "mastline/units/ticks.hpp"

namespace mastline {

// The 40 bits at `at` as "1993-10-13T12:45:00Z"; empty when undefined or no decimal digits.
// REQUIRES: at + 5 <= bytes.size()
std::string utc_text(ByteView bytes, std::size_t at);

// Six BCD digits, hours to seconds. REQUIRES: at + 3 <= bytes.size()
std::optional<Duration> bcd_duration(ByteView bytes, std::size_t at);

// UTC_time of a TDT or TOT section (table_id 0x70, 0x73); empty when it holds none.
std::string parse_time_table(const Section& section);

// UTC of an A/65 system time table (table_id 0xCD); empty when it holds none.
std::string parse_system_time_table(const Section& section);

}  // namespace mastline
