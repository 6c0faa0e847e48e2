// SPDX-License-Identifier: Apache-2.0
// Ports and paths of a device from its kind and data.
#pragma once

#include "mastline/findings/finding.hpp"
#include "mastline/venue/signal_chain.hpp"

namespace mastline {

// Fills kind, lanes, ports and paths; what is missing or cannot be becomes a finding.
void make_ports(Device& device, Findings& findings);

// A passive part cannot give out more power than it takes in: the sum over the outputs of an input
// of 10^(gain/10) is at most 1 at every frequency of its data.
void check_passive(const Device& device, Findings& findings);

}  // namespace mastline
