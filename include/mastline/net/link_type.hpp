// SPDX-License-Identifier: Apache-2.0
// What a captured frame begins with.
#pragma once

#include <compare>
#include <cstdint>

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

}  // namespace mastline
