// SPDX-License-Identifier: Apache-2.0
// Two verifications of one venue, before and after a change.
#pragma once

#include <string>
#include <vector>

#include <nlohmann/json_fwd.hpp>

#include "mastline/report/terminal.hpp"

namespace mastline {

inline constexpr std::string_view kComparisonSchema = "mastline-comparison 1";

enum class Turn : std::uint8_t { broken, still_failed, removed, added, repaired, unsure, still_right };

struct ChannelChange {
    std::string channel;
    int copy = 1;
    std::string name;
    Turn turn = Turn::still_right;
    std::vector<std::string> newly_failed, no_longer_failed;  // ids of checks
    std::string found;  // of the first check that fails afterwards
};

struct Comparison {
    std::string venue, before_revision, after_revision, before_where, after_where;
    std::vector<ChannelChange> channels;  // worst turn first, otherwise in the order of the lineup
    std::size_t count(Turn t) const;
    // A channel that was right or new fails, or one has gone.
    bool worse() const { return count(Turn::broken) > 0 || count(Turn::removed) > 0; }
};

// Why a document is no verification; empty when it is one.
std::string comparison_fault(const nlohmann::json& document);

// REQUIRES: comparison_fault() of both is empty.
Comparison compare_verifications(const nlohmann::json& before, const nlohmann::json& after);

std::string terminal_comparison(const Comparison& comparison, const TerminalStyle& style);
nlohmann::ordered_json comparison_json(const Comparison& comparison);
// One self-contained HTML page, for screen and paper.
std::string comparison_page(const Comparison& comparison);

// "broken", "still-failed" ...
std::string to_text(Turn turn);

}  // namespace mastline
