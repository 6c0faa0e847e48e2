// SPDX-License-Identifier: Apache-2.0
// A multicast group: an address that is multicast, by construction.
#pragma once

#include <compare>
#include <optional>
#include <string>
#include <string_view>

#include "mastline/net/ip_address.hpp"

namespace mastline {

class Group {
public:
    constexpr Group() : address_(IpAddress::v4(0xE0000000U)) {}  // 224.0.0.0: reserved, never sent to
    // None when the address is not multicast (224.0.0.0/4, ff00::/8).
    static constexpr std::optional<Group> of(const IpAddress& address) {
        if (!address.is_multicast()) return std::nullopt;
        return Group(address);
    }
    constexpr const IpAddress& address() const { return address_; }
    friend constexpr auto operator<=>(const Group&, const Group&) = default;

private:
    constexpr explicit Group(const IpAddress& address) : address_(address) {}
    IpAddress address_;
};

inline Parsed<Group, UnitFault> parse_group(std::string_view text) {
    const auto address = parse_ip_address(text);
    if (!address) return address.error();
    if (const auto group = Group::of(*address)) return *group;
    return UnitFault{"\"" + std::string(text) +
                     "\" is not a multicast group; groups are 224.0.0.0 to 239.255.255.255 and "
                     "ff00::/8"};
}

inline std::string to_text(const Group& group) { return to_text(group.address()); }

}  // namespace mastline
