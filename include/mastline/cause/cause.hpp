// SPDX-License-Identifier: Apache-2.0
// Streams that fail together share something in the plan: the smallest sets of parts that explain
// which flows fail and which do not. Pure.
#pragma once

#include <string>
#include <vector>

#include "mastline/verdict/verdict.hpp"

namespace mastline {

// Parts that the same failing flows, and no passing flow, rest on: the plan cannot tell them apart.
struct CausePart {
    std::vector<std::string> parts;      // "card:A1", "carrier:w-11778"
    std::vector<std::string> channels;   // failing, that rest on it
    bool operator==(const CausePart&) const = default;
};

// One way to explain: all of these parts are broken.
struct Explanation {
    std::vector<CausePart> set;           // the part with the most channels first
    std::vector<std::string> unexplained; // failing channels that share no broken part
    bool operator==(const Explanation&) const = default;
};

// Best first: fewest channels unexplained, then fewest parts. At most kMostExplanations. Empty when
// nothing fails, or when nothing that passes tells the parts of a single failing flow apart.
inline constexpr std::size_t kMostExplanations = 3;
std::vector<Explanation> explain(const std::vector<Verdict>& verdicts);

}  // namespace mastline
