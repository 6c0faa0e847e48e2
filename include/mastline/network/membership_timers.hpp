// SPDX-License-Identifier: Apache-2.0
// The times that follow from the timers of IGMP (RFC 2236 section 8, RFC 3376 section 8); MLD's are
// the same (RFC 3810 section 9).
#pragma once

#include "mastline/venue/network.hpp"

namespace mastline {

// A membership that nobody renews ends after this time.
constexpr Duration membership_interval(const NetworkPolicy& n) {
    return n.query_interval * n.robustness + n.query_response;
}

// A querier that falls silent is replaced after this time.
constexpr Duration other_querier_interval(const NetworkPolicy& n) {
    return n.query_interval * n.robustness + n.query_response / 2;
}

// From a leave to the end of the stream at that port.
constexpr Duration leave_latency(const NetworkPolicy& n) {
    return n.leave_latency.value_or(n.last_member_query_interval * n.robustness);
}

}  // namespace mastline
