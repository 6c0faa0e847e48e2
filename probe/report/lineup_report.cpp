// SPDX-License-Identifier: Apache-2.0
#include "mastline/report/lineup_report.hpp"

#include <numeric>

namespace mastline {

std::vector<std::size_t> worst_first(const std::vector<Verdict>& verdicts) {
    std::vector<std::size_t> out(verdicts.size());
    std::iota(out.begin(), out.end(), std::size_t{0});
    std::ranges::stable_sort(out, {}, [&](std::size_t i) { return verdicts[i].outcome(); });
    return out;
}

const FlowObservation* observation_of(const LineupReport& report, const Verdict& verdict) {
    const auto found = std::ranges::find_if(report.observations, [&](const FlowObservation& f) {
        return f.goes_to(verdict.flow) && f.destination.wire == verdict.wire;
    });
    return found == report.observations.end() ? nullptr : &*found;
}

}  // namespace mastline
