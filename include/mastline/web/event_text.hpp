// SPDX-License-Identifier: Apache-2.0
// Server-sent events as bytes (HTML Standard, section 9.2.5).
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "mastline/web/http.hpp"

namespace mastline {

// A comment: keeps the way open, nobody sees it.
inline constexpr std::string_view kEventHeartbeat = ":\n\n";

// Line breaks of any kind in the data become lines of the event; in the name they are dropped.
inline std::string event_text(std::uint64_t id, const ServerEvent& event) {
    std::string out = "id: " + std::to_string(id) + "\nevent: ";
    for (const char c : event.name)
        if (c != '\n' && c != '\r') out += c;
    out += "\ndata: ";
    for (std::size_t i = 0; i < event.data.size(); ++i) {
        const char c = event.data[i];
        if (c == '\r' && i + 1 < event.data.size() && event.data[i + 1] == '\n') continue;
        if (c == '\n' || c == '\r') out += "\ndata: ";
        else out += c;
    }
    return out + "\n\n";
}

}  // namespace mastline
