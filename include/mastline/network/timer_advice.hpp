// SPDX-License-Identifier: Apache-2.0
// What the timers of group membership do on this network, and which settings would be robust.
#pragma once

#include <string>
#include <vector>

#include "mastline/network/network_load.hpp"
#include "mastline/venue/venue.hpp"

namespace mastline {

// Share of membership reports that a wired network is taken to lose: common practice for full-duplex
// Ethernet with queues that do not overflow; a radio link loses more.
inline constexpr double kReportLoss = 0.001;

struct TimerAdvice {
    std::string timer;
    std::string planned;
    std::string advised;  // like `planned` where that is good
    std::string reason;   // formula with its source, and the value here
};

// Robustness, the three intervals, and the times that follow from them, in this order.
std::vector<TimerAdvice> timer_advice(const Venue& venue, const NetworkLoad& load);

// Memberships that one day of queries can be expected to end by lost reports: each display fails to
// renew in one interval when `robustness` reports in a row are lost.
double lapses_per_day(double memberships, Duration query_interval, int robustness);

// How long streams may be missing when another querier takes over: a host that answered the last
// query at once may answer the first of the new querier last (RFC 3376 sections 8.4 and 8.5).
constexpr Duration takeover_gap(const NetworkPolicy& n) { return n.query_response / 2; }

}  // namespace mastline
