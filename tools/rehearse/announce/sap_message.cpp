// SPDX-License-Identifier: Apache-2.0
#include "tools/rehearse/announce/sap_message.hpp"

#include <algorithm>
#include <array>

namespace mastline {

namespace {

constexpr std::string_view kPayloadType = "application/sdp";

// FNV-1a folded to 16 bits. Zero would mean "not hashed" (section 6).
std::uint16_t hash_of(std::string_view text) {
    std::uint32_t hash = 2166136261U;
    for (const char c : text) hash = (hash ^ static_cast<unsigned char>(c)) * 16777619U;
    const auto folded = static_cast<std::uint16_t>(hash ^ (hash >> 16));
    return folded == 0 ? 1 : folded;
}

// Of 239/8, as RFC 2365 cuts it.
struct Zone4 {
    std::uint32_t first, last;
};
constexpr std::array<Zone4, 8> kZones{{{0xEF000000, 0xEF3FFFFF},
                                       {0xEF400000, 0xEF7FFFFF},
                                       {0xEF800000, 0xEFBFFFFF},
                                       {0xEFC00000, 0xEFC3FFFF},
                                       {0xEFC40000, 0xEFFCFFFF},
                                       {0xEFFD0000, 0xEFFDFFFF},
                                       {0xEFFE0000, 0xEFFEFFFF},
                                       {0xEFFF0000, 0xEFFFFFFF}}};

const GroupSpan* narrowest(const std::vector<GroupSpan>& scopes, const Group& group) {
    const GroupSpan* best = nullptr;
    for (const auto& scope : scopes) {
        if (!overlap(scope, {group, group})) continue;
        if (best == nullptr || (best->first <= scope.first && scope.last <= best->last)) best = &scope;
    }
    return best;
}

std::string_view origin_line(std::string_view description) {
    const auto at = description.find("o=");
    if (at == std::string_view::npos) return {};
    const auto end = description.find('\n', at);
    return description.substr(at, end == std::string_view::npos ? end : end + 1 - at);
}

}  // namespace

std::string sap_message(SapType type, const IpAddress& source, std::string_view description) {
    constexpr int version_1 = 0x20, ipv6_source = 0x10, is_deletion = 0x04;
    const std::uint16_t hash = hash_of(description);
    const int first = version_1 | (source.is_v4() ? 0 : ipv6_source) |
                      (type == SapType::deletion ? is_deletion : 0);
    std::string out{static_cast<char>(first), 0, static_cast<char>(hash >> 8),
                    static_cast<char>(hash & 0xFF)};
    const auto& bytes = source.bytes();
    for (std::size_t i = 0; i < (source.is_v4() ? 4U : 16U); ++i)
        out += static_cast<char>(bytes[i]);
    out += kPayloadType;
    out += '\0';
    out += type == SapType::deletion ? origin_line(description) : description;
    return out;
}

Group sap_group(const Group& group, const std::vector<GroupSpan>& scopes) {
    const auto& address = group.address();
    if (!address.is_v4()) {
        std::array<std::uint8_t, 16> bytes{0xFF, static_cast<std::uint8_t>(address.bytes()[1] & 0x0F)};
        bytes[13] = 2, bytes[14] = 0x7F, bytes[15] = 0xFE;
        return *Group::of(IpAddress::v6(bytes));
    }
    if (const auto* own = narrowest(scopes, group)) return own->last;
    for (const auto& zone : kZones)
        if (address.v4_value() >= zone.first && address.v4_value() <= zone.last)
            return *Group::of(IpAddress::v4(zone.last));
    return *Group::of(IpAddress::v4(0xE0027FFE));
}

std::chrono::seconds sap_interval(std::size_t announcements, std::size_t bytes_each) {
    constexpr std::size_t limit = 4000;
    const auto needed = (8 * announcements * bytes_each + limit - 1) / limit;
    return std::chrono::seconds(std::max<std::size_t>(300, needed));
}

std::chrono::milliseconds sap_wait(std::chrono::seconds interval, double draw) {
    const std::chrono::duration<double> whole = interval;
    return std::chrono::round<std::chrono::milliseconds>(whole * (2.0 / 3 + draw * 2 / 3));
}

}  // namespace mastline
