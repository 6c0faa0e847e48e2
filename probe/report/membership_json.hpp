// SPDX-License-Identifier: Apache-2.0
// Queriers and members as JSON, alike in every report.
#pragma once

#include <vector>

#include <nlohmann/json_fwd.hpp>

#include "mastline/igmp/membership.hpp"

namespace mastline {

nlohmann::ordered_json queriers_json(const std::vector<QuerierObservation>& queriers);
nlohmann::ordered_json members_json(const std::vector<MemberObservation>& members);

}  // namespace mastline
