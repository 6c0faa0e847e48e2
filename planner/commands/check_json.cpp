// SPDX-License-Identifier: Apache-2.0
#include "planner/commands/check_json.hpp"

#include "planner/commands/finding_json.hpp"

#include "mastline/text/shown_json.hpp"

namespace mastline {

namespace {

using Json = nlohmann::ordered_json;

Json to_json(const PlanSummary& plan) {
    Json out{{"channels", plan.channels},         {"placed_channels", plan.placed_channels},
             {"cards", plan.cards},               {"cards_in_use", plan.cards_in_use},
             {"cards_kept_idle", plan.cards_kept_idle},
             {"groups", plan.groups},             {"links", plan.links}};
    if (const auto& least = plan.least_margin)
        out["least_margin"] = {{"margin_db", least->margin.db()},
                               {"port", to_text(least->port)},
                               {"feed", least->lane.feed},
                               {"lane", least->lane.lane.value}};
    return out;
}

std::string_view outcome(const Findings& findings, bool planned) {
    if (!planned) return "unusable";
    return has_errors(findings) ? "findings" : "good";
}

}  // namespace

std::string check_json(const std::string& venue, const Findings& findings,
                       const std::optional<PlanSummary>& plan) {
    Json list = Json::array();
    for (const auto& finding : findings) list.push_back(finding_json(finding));
    Json out{{"schema", "mastline-check 1"},
             {"venue", venue},
             {"outcome", outcome(findings, plan.has_value())},
             {"findings", std::move(list)}};
    if (plan) out["plan"] = to_json(*plan);
    return shown_json(out);
}

}  // namespace mastline
