// SPDX-License-Identifier: Apache-2.0
#include "planner/commands/finding_json.hpp"

namespace mastline {

namespace {

using Json = nlohmann::ordered_json;

Json to_json(const Place& place) {
    Json out{{"file", place.file}};
    if (place.line > 0) out["line"] = place.line;
    if (place.line > 0 && place.column > 0) out["column"] = place.column;
    return out;
}

}  // namespace

nlohmann::ordered_json finding_json(const Finding& finding) {
    Json out{{"severity", to_text(finding.severity)}, {"id", finding.id}, {"what", finding.what}};
    const auto add = [&](const char* key, const std::string& text) {
        if (!text.empty()) out[key] = text;
    };
    add("subject", finding.subject);
    add("amount", finding.amount);
    add("cure", finding.cure);
    if (!finding.place.file.empty()) out["place"] = to_json(finding.place);
    return out;
}

}  // namespace mastline
