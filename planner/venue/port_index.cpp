// SPDX-License-Identifier: Apache-2.0
#include "mastline/venue/port_index.hpp"

#include <algorithm>

namespace mastline {

namespace {

Port feed_port(const Feed& feed) {
    Port port;
    port.name = "out";
    port.direction = PortDirection::out;
    port.lanes = static_cast<int>(feed.lanes.size());
    port.passes_dc = true;
    return port;
}

std::vector<Port> card_ports(const Card& card, const Venue& venue) {
    const auto model =
        std::find_if(venue.card_models.begin(), venue.card_models.end(),
                     [&](const CardModel& m) { return m.name == card.model; });
    std::vector<Port> ports;
    if (model == venue.card_models.end() || model->kind != CardKind::tuner) return ports;
    for (int i = 1; i <= model->inputs; ++i) {
        Port port;
        port.name = "in" + std::to_string(i);
        port.carries_all = true;
        if (model->window_low || model->window_high)
            port.window = Window{model->window_low.value_or(Level::dbm(-200)),
                                 model->window_high.value_or(Level::dbm(200))};
        ports.push_back(std::move(port));
    }
    return ports;
}

}  // namespace

PortIndex::PortIndex(const Venue& venue) {
    for (std::size_t i = 0; i < venue.feeds.size(); ++i) {
        const auto& feed = venue.feeds[i];
        nodes_.try_emplace(feed.name, Node{NodeKind::feed, i, feed.name, {feed_port(feed)}});
    }
    for (std::size_t i = 0; i < venue.devices.size(); ++i) {
        const auto& device = venue.devices[i];
        nodes_.try_emplace(device.name, Node{NodeKind::device, i, device.name, device.ports});
    }
    for (std::size_t i = 0; i < venue.cards.size(); ++i) {
        const auto& card = venue.cards[i];
        nodes_.try_emplace(card.name, Node{NodeKind::card, i, card.name, card_ports(card, venue)});
    }
}

const Node* PortIndex::node(const std::string& name) const {
    const auto it = nodes_.find(name);
    return it == nodes_.end() ? nullptr : &it->second;
}

const Port* PortIndex::port(const PortRef& ref) const {
    const auto* found = node(ref.device);
    if (found == nullptr) return nullptr;
    for (const auto& port : found->ports)
        if (port.name == ref.port) return &port;
    return nullptr;
}

}  // namespace mastline
