// SPDX-License-Identifier: Apache-2.0
#include "planner/network/hangers.hpp"

namespace mastline {

Hangers::Hangers(const Topology& topology, const std::vector<char>& apart) {
    for (SwitchIndex s = 0; s < topology.size(); ++s) {
        const auto around = topology.neighbours(s);
        // Of two switches that have but each other, neither hangs.
        hangs_.push_back(apart[s] == 0 && around.size() == 1 && topology.neighbours(around[0].node).size() > 1);
    }
    for (SwitchIndex s = 0; s < topology.size(); ++s) {
        first_hanging_.push_back(hanging_.size());
        first_other_.push_back(others_.size());
        for (const auto& n : topology.neighbours(s)) {
            if (hangs(n.node)) hanging_.push_back(n.node);
            else others_.push_back(n);
        }
    }
    first_hanging_.push_back(hanging_.size());
    first_other_.push_back(others_.size());
}

}  // namespace mastline
