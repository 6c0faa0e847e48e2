// SPDX-License-Identifier: Apache-2.0
// Whether somebody asks for memberships: without a querier, snooping switches forget them.
#pragma once

#include <string>

#include "mastline/igmp/membership.hpp"
#include "mastline/verdict/judge.hpp"

namespace mastline {

// RFC 3376 section 8.5: after 2 * 125 s + 10 s / 2 without a query the querier is gone.
inline constexpr Duration kQuerierAbsence = std::chrono::seconds(255);

// RFC 3376 section 8.5 and RFC 3810 section 9.5: robustness times the query interval, and half the
// response interval. What the querier states counts, else what it does, else the default.
Duration absence_of(const QuerierObservation& querier);

// Pure. `ip`: of IGMP or of MLD.
Check judge_querier(const std::vector<QuerierObservation>& queriers, IpVersion ip, const Watch& watch);

}  // namespace mastline
