// SPDX-License-Identifier: Apache-2.0
#include "planner/addressing/code_point.hpp"

#include <string>

namespace mastline {

void check_code_point(const AddressingPolicy& policy, Findings& findings) {
    // RFC 4594 figure 3, and section 3 on CS7.
    const char* kept_for = policy.dscp >= 48   ? "network control (CS6, CS7)"
                           : policy.dscp == 46 ? "telephony (EF)"
                           : policy.dscp == 8  ? "what may be starved (CS1)"
                                               : nullptr;
    if (kept_for == nullptr) return;
    findings.push_back({Severity::warning, "addressing.dscp-of-others", "",
                        "DSCP " + std::to_string(policy.dscp) + " is for " + std::string(kept_for) + " (RFC 4594)", "",
                        "take 24 (CS3, broadcast video), or what the site's own classes say", policy.place});
}

}  // namespace mastline
