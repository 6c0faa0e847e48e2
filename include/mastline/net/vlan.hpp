// SPDX-License-Identifier: Apache-2.0
// Virtual LANs: IEEE 802.1Q tags, one behind the other where 802.1ad is in use.
#pragma once

#include <algorithm>
#include <array>
#include <compare>
#include <cstdint>
#include <string>

namespace mastline {

// VID, 1 to 4094; 0 in a tag that gives a priority alone (IEEE 802.1Q, 9.6).
struct VlanId {
    std::uint16_t number = 0;
    friend constexpr auto operator<=>(VlanId, VlanId) = default;
};

// The tags of one frame.
struct VlanTags {
    static constexpr std::size_t kMost = 4;  // deeper ones are passed over

    bool told = false;              // false: the way of listening, or its link layer, shows no tags
    std::uint8_t count = 0;
    std::array<VlanId, kMost> ids{};  // outermost first

    constexpr void add(VlanId id) {
        if (count < kMost) ids[count++] = id;
    }
    // The innermost, which is nearest to the packet; 0: in none.
    constexpr VlanId of_packet() const { return count == 0 ? VlanId{} : ids[count - 1U]; }

    friend constexpr auto operator<=>(const VlanTags&, const VlanTags&) = default;
};

// "VLAN 120", "VLAN 120 in 7", "no VLAN".
inline std::string to_text(const VlanTags& tags) {
    if (tags.count == 0 || (tags.count == 1 && tags.of_packet() == VlanId{})) return "no VLAN";
    std::string out = "VLAN";
    for (std::size_t i = tags.count; i > 0; --i)
        out += (i == tags.count ? " " : " in ") + std::to_string(tags.ids[i - 1].number);
    return out;
}

}  // namespace mastline
