// SPDX-License-Identifier: Apache-2.0
// A still of every channel of a lineup, around a watch that ends.
#pragma once

#include <vector>

#include "mastline/expectation/expectation.hpp"
#include "mastline/flow/flow_set.hpp"
#include "mastline/still/still.hpp"
#include "mastline/verdict/verdict.hpp"

namespace mastline {

// Throws std::runtime_error: this installation has no decoder.
void need_still_program();

// Before the watch. REQUIRES: the flows were expected.
void want_stills(FlowSet& flows, const ExpectedLineup& plan);

// After it: in the order of the verdicts, of the flows that they judge, as many decoded at a time as there are processors.
// Throws std::system_error: no process can be started.
std::vector<Still> make_stills(const FlowSet& flows, const std::vector<Verdict>& verdicts);

}  // namespace mastline
