// SPDX-License-Identifier: Apache-2.0
// IP packets as a capture file: pcap with nanoseconds, link type "raw" (bare IP).
#pragma once

#include <string>
#include <vector>

#include "mastline/flow/packet_ring.hpp"

namespace mastline {

std::string pcap_of(const std::vector<KeptPacket>& packets);

}  // namespace mastline
