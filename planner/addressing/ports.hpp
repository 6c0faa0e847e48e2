// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "mastline/findings/finding.hpp"
#include "mastline/venue/venue.hpp"

namespace mastline {

// The UDP port of a channel: its own wish, else by the policy.
UdpPort port_of(const Channel& channel, const AddressingPolicy& policy);

// Ports that are odd, privileged, at hosts' disposal, too high, or too near to each other.
// `channels` are indices of those that are sent.
void check_ports(const Venue& venue, const std::vector<std::size_t>& channels, Findings& findings);

}  // namespace mastline
