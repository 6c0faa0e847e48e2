// SPDX-License-Identifier: Apache-2.0
// From a captured frame to the IP packet in it, for every link layer that captures of multicast
// networks come with.
#pragma once

#include <optional>

#include "mastline/bytes/byte_reader.hpp"
#include "mastline/net/link_type.hpp"
#include "mastline/net/vlan.hpp"

namespace mastline {

bool is_known(LinkType link);

struct FramedIp {
    ByteView packet;  // from its IP header on, trailers included
    VlanTags tags;    // 802.1Q, 802.1ad
};

// None when the frame carries no IP, is shorter than its own headers, or is_known(link) is false.
std::optional<FramedIp> ip_in_frame(LinkType link, ByteView frame);

}  // namespace mastline
