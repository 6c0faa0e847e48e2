// SPDX-License-Identifier: Apache-2.0
// A socket that sends to groups by one interface.
#pragma once

#include "tools/rehearse/send/descriptor.hpp"
#include "tools/rehearse/send/interface.hpp"

namespace mastline {

struct MulticastMarks {
    IpVersion version = IpVersion::v4;
    int ttl = 1;
    int dscp = 0;
};

// Copies to this host's own listeners are for loopback alone. Throws std::system_error.
OpenDescriptor multicast_socket(const MulticastMarks& marks, const Interface& interface);

}  // namespace mastline
