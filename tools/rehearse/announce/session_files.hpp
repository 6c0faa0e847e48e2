// SPDX-License-Identifier: Apache-2.0
// The session descriptions that stand beside a plan.
#pragma once

#include <string>
#include <vector>

#include "mastline/expectation/expectation.hpp"
#include "mastline/findings/finding.hpp"

namespace mastline {

// By flow of the lineup: the text of sdp/NUMBER.sdp (sdp/NUMBER-2.sdp for a second carriage) in the
// folder of the plan. One that is missing or tells of another group becomes a finding.
std::vector<std::string> session_files(const std::string& plan, const ExpectedLineup& lineup,
                                       Findings& findings);

}  // namespace mastline
