// SPDX-License-Identifier: Apache-2.0
// What check and build say of a venue in the end.
#pragma once

#include <optional>
#include <string>

#include "mastline/exit_status.hpp"
#include "planner/commands/findings_text.hpp"
#include "planner/commands/summary.hpp"

namespace mastline {

// The findings, then one line on the plan (none: nothing was planned), then how many of each.
inline std::string report_text(const Findings& findings, const std::optional<PlanSummary>& plan,
                               const TerminalLook& style) {
    return findings_text(findings, style) +
           (plan ? to_text(*plan) : "nothing is planned until the files are right") + "\n" +
           counts_text(findings) + "\n";
}

inline ExitStatus status_of(const Findings& findings, bool planned) {
    if (!planned) return ExitStatus::bad_input;
    return has_errors(findings) ? ExitStatus::findings : ExitStatus::good;
}

}  // namespace mastline
