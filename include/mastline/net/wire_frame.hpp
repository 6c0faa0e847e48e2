// SPDX-License-Identifier: Apache-2.0
// The frame of the link layer that a packet came in, as far as it was told.
#pragma once

#include "mastline/bytes/byte_reader.hpp"
#include "mastline/net/link_type.hpp"
#include "mastline/net/vlan.hpp"
#include "mastline/net/wire_number.hpp"

namespace mastline {

struct WireFrame {
    ByteView bytes{};           // headers and trailer included; empty when not told, or there were several
    LinkType link{};
    std::uint32_t length = 0;   // bytes on the wire; more than are there where the capture cut it
    VlanTags vlans{};
    WireNumber wire{};          // that it was heard on
};

}  // namespace mastline
