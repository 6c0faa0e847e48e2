// SPDX-License-Identifier: Apache-2.0
// Reports as JSON. Keys carry their units; each document names its schema, which stands beside the
// writer (probe/report/*.schema.json).
#pragma once

#include <nlohmann/json_fwd.hpp>

#include "mastline/report/file_report.hpp"
#include "mastline/report/lineup_report.hpp"

namespace mastline {

inline constexpr std::string_view kVerificationSchema = "mastline-verification 1";
inline constexpr std::string_view kReadingSchema = "mastline-reading 1";

nlohmann::ordered_json flow_json(const FlowObservation& flow);
nlohmann::ordered_json verdict_json(const Verdict& verdict);
nlohmann::ordered_json lineup_json(const LineupReport& report);
// `lineups`: one per capture that was compared with a plan, in the order of the files; else empty.
nlohmann::ordered_json reading_json(const std::vector<FileReport>& files,
                                    const std::vector<LineupReport>& lineups);

// Two spaces of indent, and a line end. Bytes that are no UTF-8 become U+FFFD.
std::string json_text(const nlohmann::ordered_json& document);

}  // namespace mastline
