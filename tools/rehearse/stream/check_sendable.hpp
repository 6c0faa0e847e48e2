// SPDX-License-Identifier: Apache-2.0
// Whether each flow of a plan can be made into a legal stream.
#pragma once

#include "mastline/expectation/expectation.hpp"
#include "mastline/findings/finding.hpp"

namespace mastline {

// One finding per flow and reason; none when every flow can be sent. `plan_file` is named in
// places.
Findings check_sendable(const ExpectedLineup& lineup, const std::string& plan_file);

// "channel 101", "channel 101 copy 2"
std::string channel_text(const Expectation& expectation);

}  // namespace mastline
