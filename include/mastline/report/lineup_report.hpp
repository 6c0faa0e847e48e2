// SPDX-License-Identifier: Apache-2.0
// Everything that the reports of a verification tell.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "mastline/cause/cause.hpp"
#include "mastline/flow/flow_observation.hpp"
#include "mastline/igmp/membership.hpp"
#include "mastline/still/still.hpp"
#include "mastline/verdict/evidence.hpp"
#include "mastline/verdict/latency.hpp"
#include "mastline/verdict/verdict.hpp"

namespace mastline {

// Whether the group membership service of the network works; the venue's streams die without it.
struct QuerierJudgement {
    Check check;  // "network.querier"
    std::vector<QuerierObservation> queriers;
};

// Captures of the failed verdicts, in one folder.
struct EvidenceFolder {
    std::string folder;           // as asked for
    std::string membership_file;  // IGMP and MLD messages; empty when none were seen
    std::vector<Evidence> items;  // one per failed verdict, in the order of the lineup
};

struct LineupReport {
    std::string venue;
    std::string revision;  // of the plan
    std::string where;     // "interface eth0", or the name of a capture
    Duration watched{};
    std::optional<Duration> began;  // on the time base of arrivals; none: nothing carries times
    std::vector<Verdict> verdicts;              // in the order of the lineup
    std::vector<FlowObservation> observations;  // of the lineup's flows that were seen
    std::vector<FlowObservation> unasked;       // flows outside the lineup that arrived all the same
    std::vector<Explanation> explanations;
    std::optional<QuerierJudgement> querier;
    std::vector<Check> network;            // what the network as a whole does: "network.flood"
    std::vector<FlowLatency> latencies;    // in the order of the lineup; none for a capture
    std::optional<EvidenceFolder> evidence;  // where it was asked for
    std::vector<Still> stills;    // in the order of the lineup; none where they were not asked for
    std::uint64_t own_drops = 0;  // datagrams that this machine dropped

    Outcome outcome() const {
        Outcome worst = Outcome::passed;
        for (const auto& v : verdicts) worst = std::min(worst, v.outcome());
        if (querier && querier->check.outcome == Outcome::failed) worst = Outcome::failed;
        return worst;
    }
    std::size_t count(Outcome o) const {
        return static_cast<std::size_t>(std::count_if(
            verdicts.begin(), verdicts.end(), [o](const Verdict& v) { return v.outcome() == o; }));
    }
};

// Indices of the verdicts, worst first, otherwise in the lineup's order.
std::vector<std::size_t> worst_first(const std::vector<Verdict>& verdicts);

// The observation of a verdict's flow, or nullptr.
const FlowObservation* observation_of(const LineupReport& report, const Verdict& verdict);

}  // namespace mastline
