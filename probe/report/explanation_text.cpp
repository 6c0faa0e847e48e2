// SPDX-License-Identifier: Apache-2.0
#include "probe/report/explanation_text.hpp"

#include "mastline/text/joined.hpp"

namespace mastline {

std::string channel_list(const std::vector<std::string>& channels, std::size_t most) {
    if (channels.size() <= most) return (channels.size() == 1 ? "channel " : "channels ") + joined(channels);
    return std::to_string(channels.size()) + " channels from " + channels.front() + " to " + channels.back();
}

std::string explanation_text(const Explanation& explanation, std::size_t most) {
    std::string out;
    for (const auto& p : explanation.set)
        out += (out.empty() ? "" : "; and ") + joined(p.parts, " or ") + ": " + channel_list(p.channels, most);
    if (!explanation.unexplained.empty())
        out += std::string(out.empty() ? "" : "; ") + "nothing shared by " + channel_list(explanation.unexplained, most);
    return out;
}

}  // namespace mastline
