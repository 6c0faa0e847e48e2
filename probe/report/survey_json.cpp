// SPDX-License-Identifier: Apache-2.0
#include <nlohmann/json.hpp>

#include "mastline/report/lineup_json.hpp"
#include "mastline/report/survey.hpp"
#include "probe/report/membership_json.hpp"

namespace mastline {

nlohmann::ordered_json survey_json(const SurveyReport& r) {
    auto flows = nlohmann::ordered_json::array();
    for (const auto& f : r.flows) flows.push_back(flow_json(f));
    return {{"schema", kSurveySchema},
            {"where", r.where},
            {"watched_s", static_cast<double>(r.watched.count()) / 1e9},
            {"own_drops", r.own_drops},
            {"queriers", queriers_json(r.membership.queriers)},
            {"members", members_json(r.membership.members)},
            {"flows", flows}};
}

}  // namespace mastline
