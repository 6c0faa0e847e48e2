// SPDX-License-Identifier: Apache-2.0
// The conductors that direct current can take, apart from the signal's direction.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "planner/signal/chain.hpp"

namespace mastline {

// One conductor of one port.
struct DcNode {
    std::size_t port = 0;
    int conductor = 1;
    friend auto operator<=>(const DcNode&, const DcNode&) = default;
};

struct DcEdge {
    DcNode to;
    double ohms = 0;
};

// A node of the tree that one supply feeds; parents before children.
struct DcBranch {
    DcNode node;
    std::optional<std::size_t> parent;
    double ohms = 0;       // of the edge from the parent
    double loop_ohms = 0;  // from the supply
};

// Runs carry current over the loop resistance of their cable; a device passes it between the two
// ports of a path where both pass DC.
class DcNetwork {
public:
    explicit DcNetwork(const Chain& chain);

    std::vector<DcEdge> edges(const DcNode& node) const;
    // Everything that hangs on a node, itself first.
    std::vector<DcBranch> tree(const DcNode& source) const;

private:
    double run_ohms(const Run& run) const;

    const Chain& chain_;
    std::vector<std::vector<std::optional<DcEdge>>> along_run_;  // per port and conductor
    std::vector<std::vector<std::size_t>> through_;              // ports across the device
};

}  // namespace mastline
