// SPDX-License-Identifier: Apache-2.0
// The transmissions that a plan and the asked-for faults come to.
#pragma once

#include <functional>
#include <memory>
#include <vector>

#include "tools/rehearse/send/transmission.hpp"

namespace mastline {

// A file's packets instead of the made ones; called once per flow with the time of its first
// packet. Null for a flow that is made from the plan.
using PlayedSource = std::function<std::unique_ptr<PacketSource>(std::size_t flow, PcrTicks start)>;

struct RehearsalTimes {
    PcrTicks end{};            // nothing leaves from here on
    UtcSeconds utc_at_zero{};  // for the TDT
};

// REQUIRES: check_sendable() found no fault with the lineup
std::vector<Transmission> line_up(const ExpectedLineup& lineup, const std::vector<Fault>& faults,
                                  const PlayedSource& played, const RehearsalTimes& times);

}  // namespace mastline
