// SPDX-License-Identifier: Apache-2.0
// The values that a fault's text holds: times, shares, counts, PIDs, channels.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "mastline/bytes/parsed.hpp"
#include "tools/rehearse/fault/fault.hpp"

namespace mastline {

Parsed<PcrTicks, std::string> parse_fault_time(std::string_view text);

// Index of "101" or "101/2" in the lineup.
Parsed<std::size_t, std::string> find_flow(std::string_view channel, const ExpectedLineup& lineup);

// KEY=VALUE into the fault; the error text, or none. REQUIRES: `key` is one of the fault's kind
std::optional<std::string> set_fault_value(Fault& fault, std::string_view key,
                                           std::string_view value, const ExpectedLineup& lineup);

}  // namespace mastline
