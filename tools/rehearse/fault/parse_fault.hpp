// SPDX-License-Identifier: Apache-2.0
// "101:loss@10s+5s,rate=2%": CHANNEL[/COPY]:KIND[@START[+LENGTH]][,KEY=VALUE]...
#pragma once

#include <string>
#include <string_view>

#include "mastline/bytes/parsed.hpp"
#include "tools/rehearse/fault/fault.hpp"

namespace mastline {

// The error is a text that says what would be right.
Parsed<Fault, std::string> parse_fault(std::string_view text, const ExpectedLineup& lineup);

// Every kind with its parameters, one line each.
std::string fault_list();

}  // namespace mastline
