// SPDX-License-Identifier: Apache-2.0
#include "planner/signal/dc_network.hpp"

#include <set>

namespace mastline {

DcNetwork::DcNetwork(const Chain& chain) : chain_(chain) {
    const auto& ports = chain.ports();
    along_run_.resize(ports.size());
    through_.resize(ports.size());
    for (std::size_t p = 0; p < ports.size(); ++p)
        along_run_[p].resize(static_cast<std::size_t>(ports[p].port.lanes));
    for (std::size_t p = 0; p < ports.size(); ++p) {
        for (std::size_t c = 0; c < ports[p].runs.size(); ++c) {
            const auto& hop = ports[p].runs[c];
            if (!hop || ports[p].port.optical) continue;
            const auto& run = chain.venue().runs[hop->run];
            auto& back = along_run_[hop->port];
            const auto to = static_cast<std::size_t>(hop->lane) - 1;
            if (to >= back.size()) continue;
            along_run_[p][c] = DcEdge{{hop->port, hop->lane}, run_ohms(run)};
            back[to] = DcEdge{{p, static_cast<int>(c) + 1}, run_ohms(run)};
        }
        for (const auto& path : ports[p].paths) {
            if (!ports[p].port.passes_dc || !ports[path.port].port.passes_dc) continue;
            through_[p].push_back(path.port);
            through_[path.port].push_back(p);
        }
    }
}

double DcNetwork::run_ohms(const Run& run) const {
    const auto* cable = chain_.cable(run);
    if (cable == nullptr || !cable->loop_resistance) return 0;
    return cable->loop_resistance->ohms() * run.length.metres() / 100;
}

std::vector<DcEdge> DcNetwork::edges(const DcNode& node) const {
    std::vector<DcEdge> out;
    const auto c = static_cast<std::size_t>(node.conductor) - 1;
    if (c < along_run_[node.port].size() && along_run_[node.port][c])
        out.push_back(*along_run_[node.port][c]);
    for (const auto port : through_[node.port])
        if (node.conductor <= chain_.ports()[port].port.lanes) out.push_back({{port, node.conductor}, 0});
    return out;
}

std::vector<DcBranch> DcNetwork::tree(const DcNode& source) const {
    std::vector<DcBranch> out{{source, {}, 0, 0}};
    std::set<DcNode> seen{source};
    for (std::size_t i = 0; i < out.size(); ++i) {
        const auto here = out[i];
        for (const auto& edge : edges(here.node))
            if (seen.insert(edge.to).second)
                out.push_back({edge.to, i, edge.ohms, here.loop_ohms + edge.ohms});
    }
    return out;
}

}  // namespace mastline
