// SPDX-License-Identifier: Apache-2.0
#include "mastline/verdict/querier.hpp"

namespace mastline {

namespace {

std::string described(const QuerierObservation& q) {
    std::string out = to_text(q.address) + (q.ip == IpVersion::v4 ? " IGMPv" : " MLDv") + std::to_string(q.version);
    if (q.interval) out += " every " + fixed_text(static_cast<double>(q.interval->count()) / 1e9, 1) + " s";
    return out;
}

constexpr int kUsualRobustness = 2;  // RFC 3376 section 8.1, RFC 3810 section 9.1

}  // namespace

Duration absence_of(const QuerierObservation& querier) {
    const auto interval = querier.told_interval ? querier.told_interval : querier.interval;
    return interval ? *interval * querier.robustness.value_or(kUsualRobustness) + querier.max_response / 2 : kQuerierAbsence;
}

Check judge_querier(const std::vector<QuerierObservation>& queriers, IpVersion ip, const Watch& watch) {
    Check out{"network.querier", Outcome::passed, "one querier", {}, {}};
    std::size_t elected = 0, steady = 0;
    std::optional<Duration> silent;  // of the one that asked last
    bool lost = true;
    for (const auto& q : queriers) {
        if (q.ip != ip) continue;
        out.found += (out.found.empty() ? "" : ", ") + described(q);
        if (watch.end) {
            const Duration since = *watch.end - q.last;
            silent = std::min(silent.value_or(since), since);
            lost = lost && since > absence_of(q);
        }
        if (q.address.is_unspecified()) continue;
        ++elected;
        steady += q.queries > 1 ? 1 : 0;
    }
    if (out.found.empty()) {
        const bool long_enough = watch.length() >= kQuerierAbsence;
        out.outcome = long_enough ? Outcome::failed : Outcome::not_judged;
        out.found = long_enough ? "no query in " + to_text(watch.length()) : "";
        out.evidence = long_enough ? "switches forget memberships when nobody asks for them"
                                   : "no query yet; by default one comes every 125 s";
    } else if (silent && lost) {
        out.outcome = Outcome::failed;
        out.evidence = "no query in the last " + fixed_text(static_cast<double>(silent->count()) / 1e9, 1) + " s: the querier is lost; switches forget memberships soon";
    } else if (steady > 1) {
        out.outcome = Outcome::failed;
        out.evidence = "the one with the lower address should have silenced the other (RFC 3376, 6.6.2)";
    } else if (elected != 1) {
        out.outcome = Outcome::noted;
        out.evidence = elected == 0 ? "from 0.0.0.0: a switch stands in for a querier" : "an election, perhaps";
    }
    return out;
}

}  // namespace mastline
