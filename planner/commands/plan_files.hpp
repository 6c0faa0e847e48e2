// SPDX-License-Identifier: Apache-2.0
// Every file that build writes, as texts.
#pragma once

#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "mastline/plan/plan.hpp"
#include "planner/commands/output_files.hpp"

namespace mastline {

// The session description that stood before under a name such as "101.sdp"; none: there was none.
using EarlierSession = std::function<std::optional<std::string>(const std::string& name)>;

// Below `folder`; the same venue, plan and earlier sessions give the same bytes.
std::vector<OutputFile> plan_files(const Venue& venue, const Plan& plan,
                                   const std::filesystem::path& folder,
                                   const EarlierSession& earlier);

// "101.sdp"; "101-2.sdp" for the second carriage of a channel.
std::string sdp_name(const Expectation& flow);

}  // namespace mastline
