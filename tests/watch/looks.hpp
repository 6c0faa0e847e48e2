// SPDX-License-Identifier: Apache-2.0
// Looks at a small lineup, made up: which checks of which channel fail.
#pragma once

#include <string>
#include <vector>

#include "mastline/watch/lineup_state.hpp"
#include "verdict/seen.hpp"

namespace mastline::test {

// Three channels, of which the first two share a card.
inline ExpectedLineup three_channels() {
    ExpectedLineup out{"Hall", "r1", {planned(12), planned(14), planned(15)}};
    out.flows[0].parts = out.flows[1].parts = {"card:A1"};
    out.flows[2].parts = {"card:A2"};
    return out;
}

inline LineupLook look_at(Duration at, const std::vector<std::vector<std::string>>& faults, const ExpectedLineup& lineup = three_channels()) {
    static const std::vector<std::string_view> ids{"flow.arrival", "flow.steady", "flow.loss", "stream.continuity"};
    LineupLook out;
    out.at = at;
    for (std::size_t i = 0; i < faults.size(); ++i) {
        const auto& e = lineup.flows[i];
        ChannelLook look;
        look.verdict = {e.channel, e.copy, e.name, e.flow, e.parts, {}};
        for (const auto id : ids) {
            const bool failed = std::ranges::find(faults[i], id) != faults[i].end();
            look.verdict.checks.push_back({id, failed ? Outcome::failed : Outcome::passed, "none", failed ? "3 of them" : "none", failed ? "at once" : ""});
        }
        look.counts_from = at;
        look.rate = megabits_per_second(8);
        look.counts = {1000, faults[i].size(), 2, 1'316'000};
        out.channels.push_back(std::move(look));
    }
    out.querier = {"network.querier", Outcome::passed, "one querier", "10.0.0.1 IGMPv3", {}};
    return out;
}

}  // namespace mastline::test
