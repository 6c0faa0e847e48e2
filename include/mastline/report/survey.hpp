// SPDX-License-Identifier: Apache-2.0
// What is on the wire, without a plan: for people, for programs, and for the planner.
#pragma once

#include <string>
#include <vector>

#include <nlohmann/json_fwd.hpp>

#include "mastline/flow/flow_observation.hpp"
#include "mastline/igmp/membership.hpp"
#include "mastline/report/terminal.hpp"

namespace mastline {

inline constexpr std::string_view kSurveySchema = "mastline-survey 1";

struct SurveyReport {
    std::string where;
    Duration watched{};
    std::vector<FlowObservation> flows;  // multicast, by destination
    MembershipObservation membership;
    std::uint64_t own_drops = 0;
};

std::string terminal_survey(const SurveyReport& report, const TerminalStyle& style);
nlohmann::ordered_json survey_json(const SurveyReport& report);

// [[occupied]] tables for a venue description: groups that carry traffic or have members, without
// the local network's own (224.0.0.0/24, link-local IPv6).
std::string occupied_toml(const SurveyReport& report);
// A channel list for a venue description: one line per service on the wire, numbered from 1.
std::string channels_csv(const SurveyReport& report);

}  // namespace mastline
