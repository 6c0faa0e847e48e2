// SPDX-License-Identifier: Apache-2.0
// Something the engineer must know.
#pragma once

#include <algorithm>
#include <compare>
#include <cstdint>
#include <string>
#include <string_view>
#include <tuple>
#include <vector>

#include "mastline/findings/place.hpp"

namespace mastline {

enum class Severity : std::uint8_t { error, warning, note };

constexpr std::string_view to_text(Severity s) {
    return s == Severity::error ? "error" : s == Severity::warning ? "warning" : "note";
}

struct Finding {
    Severity severity = Severity::error;
    std::string id;       // stable, "level.above-window": area, dot, what
    std::string subject;  // the part or channel concerned: "card A1 input 2 lane 3"; may be empty
    std::string what;     // one sentence, no final stop
    std::string amount;   // by how much, with unit: "10.0 dB"; may be empty
    std::string cure;     // what would be right or what to do; may be empty
    Place place;          // where in the venue files; file may be empty

    friend auto operator<=>(const Finding&, const Finding&) = default;
};

using Findings = std::vector<Finding>;

inline bool has_errors(const Findings& findings) {
    return std::any_of(findings.begin(), findings.end(),
                       [](const Finding& f) { return f.severity == Severity::error; });
}

// Worst first, then by id and place: the order of every listing.
inline void sort_findings(Findings& findings) {
    std::stable_sort(findings.begin(), findings.end(), [](const Finding& a, const Finding& b) {
        return std::tie(a.severity, a.id, a.place, a.subject) <
               std::tie(b.severity, b.id, b.place, b.subject);
    });
}

// "venue.toml:41:8: error: assignment.unknown-card: channel 12 wants card "A9" (1 card); ..."
inline std::string to_line(const Finding& f) {
    std::string out;
    if (!f.place.file.empty()) out += to_text(f.place) + ": ";
    out += std::string(to_text(f.severity)) + ": " + f.id + ": ";
    if (!f.subject.empty()) out += f.subject + ": ";
    out += f.what;
    if (!f.amount.empty()) out += " (" + f.amount + ")";
    if (!f.cure.empty()) out += "; " + f.cure;
    return out;
}

}  // namespace mastline
