// SPDX-License-Identifier: Apache-2.0
// Every file that build writes, as texts.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "mastline/plan/plan.hpp"
#include "planner/commands/output_files.hpp"

namespace mastline {

// Below `folder`; the same venue and plan give the same bytes.
std::vector<OutputFile> plan_files(const Venue& venue, const Plan& plan,
                                   const std::filesystem::path& folder);

// "101.sdp"; "101-2.sdp" for the second carriage of a channel.
std::string sdp_name(const Expectation& flow);

}  // namespace mastline
