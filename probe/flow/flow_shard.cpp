// SPDX-License-Identifier: Apache-2.0
#include "probe/flow/flow_shard.hpp"

#include <array>
#include <bit>
#include <cstdint>
#include <cstring>

namespace mastline {

std::size_t FlowShard::Hash::operator()(const Destination& to) const noexcept {
    // Two words at once: this runs for every datagram. Groups differ in few bits, so what the
    // multiplication carries up is brought down again.
    std::array<std::uint64_t, 2> words{};
    std::memcpy(words.data(), to.address.bytes().data(), sizeof words);
    std::uint64_t hash = words[0] ^ std::rotl(words[1], 29) ^ (std::uint64_t{to.port.number} << 48);
    hash *= 0x9E3779B97F4A7C15ULL;
    return static_cast<std::size_t>(hash ^ (hash >> 32));
}

FlowMonitor* FlowShard::find(const IpAddress& address, int port) {
    if (port < 0 || port > 0xFFFF) return nullptr;
    const auto found = flows_.find({address, {static_cast<std::uint16_t>(port)}});
    return found == flows_.end() ? nullptr : &found->second;
}

// Repair packets of a flow at hand may arrive at the new one, and those for it elsewhere.
void FlowShard::tie(const Destination& added) {
    for (const int above : {0, 2, 4}) {
        const int port = added.port.number + above;
        if (FlowMonitor* repairing = find(added.address, port))
            repairing->may_repair(find(added.address, port - 2), find(added.address, port - 4));
    }
}

FlowMonitor& FlowShard::at(const Destination& to) {
    const auto found = flows_.find(to);
    if (found != flows_.end()) return found->second;
    FlowMonitor& added = flows_.emplace(to, FlowMonitor(to)).first->second;
    tie(to);
    return added;
}

void FlowShard::expect(Destination destination, FlowOptions options) {
    flows_.insert_or_assign(destination, FlowMonitor(destination, std::move(options)));
    tie(destination);
}

void FlowShard::datagram(const Datagram& datagram) {
    at({datagram.destination, datagram.port}).datagram(datagram);
}

void FlowShard::own_loss(Destination destination, std::uint64_t count) {
    at(destination).own_loss(count);
}

void FlowShard::own_loss_somewhere() {
    for (auto& [to, monitor] : flows_) monitor.own_loss_possible();
}

std::optional<Recording> FlowShard::recording(Destination destination) const {
    const auto found = flows_.find(destination);
    return found == flows_.end() ? std::nullopt : found->second.recording();
}

void FlowShard::observe(std::vector<FlowObservation>& into) const {
    for (const auto& [to, monitor] : flows_) into.push_back(monitor.observe());
}

}  // namespace mastline
