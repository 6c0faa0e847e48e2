// SPDX-License-Identifier: Apache-2.0
#include "tools/rehearse/plan_text.hpp"

#include "mastline/expectation/read_plan.hpp"
#include "mastline/text/toml_tree.hpp"
#include "tools/rehearse/stream/check_sendable.hpp"

namespace mastline {

std::optional<ExpectedLineup> lineup_from_text(std::string_view text, const std::string& file,
                                               Findings& findings) {
    const auto root = parse_toml(text, file, findings);
    if (!root) return std::nullopt;
    auto lineup = read_plan(*root, findings);
    if (!lineup) return std::nullopt;
    if (lineup->flows.empty())
        findings.push_back({Severity::error,
                            "rehearsal.no-flow",
                            {},
                            "the plan has no flow",
                            {},
                            "plan at least one channel",
                            {file, 0, 0}});
    for (auto& finding : check_sendable(*lineup, file)) findings.push_back(std::move(finding));
    if (!findings.empty()) return std::nullopt;
    return lineup;
}

}  // namespace mastline
