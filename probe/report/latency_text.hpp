// SPDX-License-Identifier: Apache-2.0
// Join and leave latency of a lineup in one sentence.
#pragma once

#include <algorithm>
#include <string>
#include <vector>

#include "mastline/verdict/latency.hpp"

namespace mastline {

// "join to first datagram 0.4 to 12.1 ms (median 0.9 ms); to first picture ..."; empty when nothing was
// measured.
inline std::string latency_text(const std::vector<FlowLatency>& latencies) {
    const auto spread = [&](const std::string& what, auto member) {
        std::vector<Duration> all;
        for (const auto& l : latencies)
            if (const auto& value = l.*member) all.push_back(*value);
        if (all.empty()) return std::string();
        std::ranges::sort(all);
        const auto ms = [](Duration d) { return fixed_text(static_cast<double>(d.count()) / 1e6, 1); };
        return what + " " + ms(all.front()) + " to " + ms(all.back()) + " ms (median " + ms(all[all.size() / 2]) + " ms)";
    };
    std::string out;
    for (const auto& part : {spread("join to first datagram", &FlowLatency::to_first_datagram),
                             spread("join to first picture", &FlowLatency::to_first_access),
                             spread("leave to last datagram", &FlowLatency::to_last_datagram)})
        if (!part.empty()) out += (out.empty() ? "" : "; ") + part;
    return out;
}

}  // namespace mastline
