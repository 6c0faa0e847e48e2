// SPDX-License-Identifier: Apache-2.0
// Switches that hang on one link alone. Their way never changes, so after a failure they go with the
// switch that they hang on; most switches of a large network are such.
#pragma once

#include <span>
#include <vector>

#include "planner/network/topology.hpp"

namespace mastline {

class Hangers {
public:
    // Nothing hangs.
    explicit Hangers(const Topology& topology) : Hangers(topology, std::vector<char>(topology.size(), true)) {}
    // `apart`: by switch, those that are looked at by themselves all the same.
    Hangers(const Topology& topology, const std::vector<char>& apart);

    bool hangs(SwitchIndex s) const { return hangs_[s] != 0; }
    // What hangs on `s`.
    std::span<const SwitchIndex> on(SwitchIndex s) const { return part(hanging_, first_hanging_, s); }
    // Neighbours of `s` that do not hang on it.
    std::span<const Neighbour> others(SwitchIndex s) const { return part(others_, first_other_, s); }

private:
    template <class T>
    static std::span<const T> part(const std::vector<T>& all, const std::vector<std::size_t>& first, SwitchIndex s) {
        return std::span(all).subspan(first[s], first[s + 1] - first[s]);
    }

    std::vector<char> hangs_;
    std::vector<SwitchIndex> hanging_;
    std::vector<Neighbour> others_;
    std::vector<std::size_t> first_hanging_, first_other_;  // by switch
};

}  // namespace mastline
