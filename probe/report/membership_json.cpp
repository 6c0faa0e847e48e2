// SPDX-License-Identifier: Apache-2.0
#include "probe/report/membership_json.hpp"

#include <nlohmann/json.hpp>

#include "probe/report/name_or_null.hpp"

namespace mastline {

namespace {

using Json = nlohmann::ordered_json;

double timer_seconds(Duration d) { return static_cast<double>(d.count()) / 1e9; }

Json querier_json(const QuerierObservation& q) {
    return {{"address", to_text(q.address)},
            {"interface", name_or_null(q.interface)},
            {"protocol", q.ip == IpVersion::v4 ? "igmp" : "mld"},
            {"version", q.version},
            {"queries", q.queries},
            {"interval_s", q.interval ? Json(timer_seconds(*q.interval)) : Json(nullptr)},
            {"told_interval_s", q.told_interval ? Json(timer_seconds(*q.told_interval)) : Json(nullptr)},
            {"robustness", q.robustness ? Json(*q.robustness) : Json(nullptr)},
            {"max_response_s", timer_seconds(q.max_response)}};
}

}  // namespace

Json queriers_json(const std::vector<QuerierObservation>& queriers) {
    Json out = Json::array();
    for (const auto& q : queriers) out.push_back(querier_json(q));
    return out;
}

Json members_json(const std::vector<MemberObservation>& members) {
    Json out = Json::array();
    for (const auto& m : members) {
        Json sources = Json::array();
        for (const auto& s : m.sources) sources.push_back(to_text(s));
        out.push_back({{"group", to_text(m.group)},
                       {"address", to_text(m.address)},
                       {"interface", name_or_null(m.interface)},
                       {"version", m.version},
                       {"left", m.left},
                       {"sources", sources}});
    }
    return out;
}

}  // namespace mastline
