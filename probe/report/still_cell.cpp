// SPDX-License-Identifier: Apache-2.0
#include "probe/report/still_cell.hpp"

#include <cstdint>

#include "mastline/text/escape.hpp"
#include "mastline/units/unit_text.hpp"

namespace mastline {

namespace {

// "Still of channel 12, 3.2 s after the beginning"
std::string picture_text(const LineupReport& r, std::size_t verdict) {
    const Verdict& v = r.verdicts[verdict];
    const Still& still = r.stills[verdict];
    std::string out = "Still of channel " + channel_text(v.channel, v.copy);
    if (still.at && r.began) out += ", " + fixed_text(static_cast<double>((*still.at - *r.began).count()) / 1e9, 1) + " s after the beginning";
    return out;
}

}  // namespace

std::string base64_text(std::string_view bytes) {
    constexpr std::string_view digits = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    std::string out;
    out.reserve((bytes.size() + 2) / 3 * 4);
    for (std::size_t at = 0; at < bytes.size(); at += 3) {
        const auto byte = [&](std::size_t i) { return at + i < bytes.size() ? static_cast<unsigned char>(bytes[at + i]) : 0U; };
        const std::uint32_t group = (std::uint32_t{byte(0)} << 16) | (std::uint32_t{byte(1)} << 8) | byte(2);
        for (std::size_t i = 0; i < 4; ++i) out += at + i > bytes.size() ? '=' : digits[(group >> (18 - 6 * i)) & 63U];
    }
    return out;
}

std::string still_cell(const LineupReport& r, std::size_t verdict) {
    const Still& still = r.stills[verdict];
    if (still.jpeg.empty()) return "<td class=\"still\"><span>no still: " + escape_markup(still.lack) + "</span></td>";
    const std::string text = escape_markup(picture_text(r, verdict));
    return "<td class=\"still\"><img src=\"data:image/jpeg;base64," + base64_text(still.jpeg) + "\" width=\"" + std::to_string(still.width) +
           "\" height=\"" + std::to_string(still.height) + "\" alt=\"" + text + "\" title=\"" + text + "\"></td>";
}

}  // namespace mastline
