// SPDX-License-Identifier: Apache-2.0
// Packets as a capture file, with nanoseconds.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "mastline/flow/packet_ring.hpp"

namespace mastline {

// pcap, which knows one link type for all. REQUIRES: they have the same.
std::string pcap_of(const std::vector<KeptPacket>& packets);
// pcapng, with an interface for each link type.
std::string pcapng_of(const std::vector<KeptPacket>& packets);

// The first where it can be; and the ending of such a file's name, ".pcap" or ".pcapng".
std::string capture_of(const std::vector<KeptPacket>& packets);
std::string_view capture_ending(const std::vector<KeptPacket>& packets);

}  // namespace mastline
