// SPDX-License-Identifier: Apache-2.0
// What a rehearsal sent, as a table and as JSON.
#pragma once

#include <string>
#include <vector>

#include "mastline/expectation/expectation.hpp"
#include "tools/rehearse/send/transmission.hpp"

namespace mastline {

struct Summary {
    const ExpectedLineup* lineup = nullptr;
    std::vector<TransmissionCounts> planned;  // one per flow, in the plan's order
    std::vector<TransmissionCounts> second;   // second sources, likewise
    Duration sent_for{};
    std::int64_t late = 0;
    Duration worst_lateness{};
    std::int64_t send_errors = 0;
    std::string last_error;
};

// The counts of all transmissions by flow.
void add_counts(Summary& summary, const std::vector<Transmission>& transmissions);

std::string summary_text(const Summary& summary);
std::string summary_json(const Summary& summary);

}  // namespace mastline
