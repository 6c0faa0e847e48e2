// SPDX-License-Identifier: Apache-2.0
// Finds the ports at which runs begin and end: of feeds, devices and tuner cards.
#pragma once

#include <cstddef>
#include <cstdint>
#include <map>
#include <string>
#include <vector>

#include "mastline/venue/venue.hpp"

namespace mastline {

enum class NodeKind : std::uint8_t { feed, device, card };

struct Node {
    NodeKind kind = NodeKind::device;
    std::size_t index = 0;  // into the venue's feeds, devices or cards
    std::string name;
    std::vector<Port> ports;
};

// A copy of the ports: the venue may go away or change.
class PortIndex {
public:
    explicit PortIndex(const Venue& venue);

    const Node* node(const std::string& name) const;
    const Port* port(const PortRef& ref) const;
    const std::map<std::string, Node>& nodes() const { return nodes_; }

private:
    std::map<std::string, Node> nodes_;
};

}  // namespace mastline
