// SPDX-License-Identifier: Apache-2.0
// The still of a channel in the page of a verification.
#pragma once

#include <string>
#include <string_view>

#include "mastline/report/lineup_report.hpp"

namespace mastline {

// Bytes as characters (RFC 4648 section 4).
std::string base64_text(std::string_view bytes);

// A cell with the picture in itself, or with why there is none. REQUIRES: verdict < report.stills.size()
std::string still_cell(const LineupReport& report, std::size_t verdict);

inline constexpr std::string_view kStillStyle = R"(
.still { width: 10rem; } .still img { display: block; max-width: 9rem; max-height: 5.0625rem; width: auto; height: auto; background: var(--soft); }
.still span { color: var(--quiet); font-size: .85rem; }
@media print { .still { width: 22mm; } .still span { font-size: inherit; } .still img { print-color-adjust: exact; break-inside: avoid; max-width: 20mm; max-height: 11mm; } }
)";

}  // namespace mastline
