// SPDX-License-Identifier: Apache-2.0
// Pure: expectations and observations in, verdicts out.
#pragma once

#include <optional>
#include <vector>

#include "mastline/expectation/expectation.hpp"
#include "mastline/flow/flow_observation.hpp"
#include "mastline/verdict/verdict.hpp"

namespace mastline {

// From when to when the flow could have been seen, on the time base of arrivals.
struct Watch {
    std::optional<Duration> start, end;  // none: a file whose frames carry no times
    Duration length() const { return start && end ? *end - *start : Duration{}; }
};

// Thresholds that no standard fixes; common practice.
inline constexpr Duration kSilenceLimit = std::chrono::milliseconds(1000);
inline constexpr Duration kFirstArrivalLimit = std::chrono::milliseconds(2000);
// PCR against arrival, peak to peak: what a display's buffer usually takes, and what none does.
inline constexpr Duration kJitterAdvice = std::chrono::milliseconds(50);
inline constexpr Duration kJitterLimit = std::chrono::milliseconds(250);
// PCR against its place in a stream of constant rate. The 500 ns of ISO/IEC 13818-1 are for
// multiplexers; a thousand times that, either way, still plays.
inline constexpr Duration kPositionJitterLimit = std::chrono::milliseconds(1);

// `seen` is nullptr when no datagram of the flow was met. `lineup` is what swapped channels are
// recognised by.
Verdict judge(const Expectation& expected, const FlowObservation* seen,
              const ExpectedLineup& lineup, const Watch& watch);

// One verdict per flow of the lineup, in its order; of a flow that was heard on several wires the worst.
std::vector<Verdict> judge_all(const ExpectedLineup& lineup,
                               const std::vector<FlowObservation>& seen, const Watch& watch);

}  // namespace mastline
