// SPDX-License-Identifier: Apache-2.0
#include <charconv>

#include "mastline/venue/channels.hpp"

namespace mastline {

namespace {

// None unless all of `text` is one number from 1 without leading zeros or sign.
std::optional<std::uint32_t> counted(std::string_view text) {
    std::uint32_t value = 0;
    const auto* end = text.data() + text.size();
    const auto [stop, ec] = std::from_chars(text.data(), end, value);
    const bool good = ec == std::errc{} && stop == end && !text.starts_with('0');
    return good ? std::optional(value) : std::nullopt;
}

}  // namespace

std::optional<ChannelNumber> parse_channel_number(std::string_view text) {
    const auto point = text.find('.');
    const auto major = counted(text.substr(0, point));
    if (!major) return std::nullopt;
    if (point == std::string_view::npos) return ChannelNumber{*major, 0};
    const auto minor = counted(text.substr(point + 1));
    return minor ? std::optional(ChannelNumber{*major, *minor}) : std::nullopt;
}

}  // namespace mastline
