// SPDX-License-Identifier: Apache-2.0
// From a captured frame to the IP packet in it, for every link layer that captures of multicast
// networks come with.
#pragma once

#include <cstdint>
#include <optional>

#include "mastline/bytes/byte_reader.hpp"

namespace mastline {

// LINKTYPE_ values of the pcap and pcapng formats.
struct LinkType {
    std::uint32_t value = 0;
    friend constexpr auto operator<=>(LinkType, LinkType) = default;
};

inline constexpr LinkType kLinkNull{0};          // BSD loopback, address family in host order
inline constexpr LinkType kLinkEthernet{1};
inline constexpr LinkType kLinkRaw{101};         // bare IP
inline constexpr LinkType kLinkLoop{108};        // OpenBSD loopback, family in network order
inline constexpr LinkType kLinkLinuxCooked{113};
inline constexpr LinkType kLinkIpv4{228};
inline constexpr LinkType kLinkIpv6{229};
inline constexpr LinkType kLinkLinuxCooked2{276};

bool is_known(LinkType link);

// The frame from its IP header on, trailers included. None when the frame carries no IP, is shorter
// than its own headers, or is_known(link) is false. VLAN tags (802.1Q, 802.1ad, any depth) are
// passed over.
std::optional<ByteView> ip_in_frame(LinkType link, ByteView frame);

}  // namespace mastline
