// SPDX-License-Identifier: Apache-2.0
#include "mastline/flow/flow_set.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cstdint>
#include <cstring>

namespace mastline {

namespace {

bool has_rtp_stream(const std::vector<FlowObservation>& flows, Destination to) {
    const auto found =
        std::ranges::find_if(flows, [&](const FlowObservation& f) { return f.destination == to; });
    return found != flows.end() && found->rtp_datagrams > 0;
}

// SMPTE 2022-1: column FEC goes to the media's port + 2, row FEC to port + 4.
FecRole fec_role(const std::vector<FlowObservation>& flows, const FlowObservation& flow) {
    const auto media_at = [&](int below) {
        const int port = flow.destination.port.number - below;
        return port > 0 && has_rtp_stream(flows, {flow.destination.address,
                                                  {static_cast<std::uint16_t>(port)}});
    };
    if (media_at(2)) return FecRole::column;
    return media_at(4) ? FecRole::row : FecRole::none;
}

}  // namespace

std::size_t FlowSet::Hash::operator()(const Destination& to) const noexcept {
    // Two words at once: this runs for every datagram. Groups differ in few bits, so what the
    // multiplication carries up is brought down again.
    std::array<std::uint64_t, 2> words{};
    std::memcpy(words.data(), to.address.bytes().data(), sizeof words);
    std::uint64_t hash = words[0] ^ std::rotl(words[1], 29) ^ (std::uint64_t{to.port.number} << 48);
    hash *= 0x9E3779B97F4A7C15ULL;
    return static_cast<std::size_t>(hash ^ (hash >> 32));
}

FlowMonitor& FlowSet::at(const Destination& to) {
    const auto found = flows_.find(to);
    if (found != flows_.end()) return found->second;
    return flows_.emplace(to, FlowMonitor(to)).first->second;
}

void FlowSet::expect(Destination destination, FlowOptions options) {
    flows_.insert_or_assign(destination, FlowMonitor(destination, std::move(options)));
}

void FlowSet::datagram(const Datagram& datagram) {
    at({datagram.destination, datagram.port}).datagram(datagram);
}

void FlowSet::own_loss(Destination destination, std::uint64_t count) {
    at(destination).own_loss(count);
}

void FlowSet::own_loss_somewhere() {
    for (auto& [to, monitor] : flows_) monitor.own_loss_possible();
}

std::optional<Recording> FlowSet::recording(Destination destination) const {
    const auto found = flows_.find(destination);
    return found == flows_.end() ? std::nullopt : found->second.recording();
}

std::vector<FlowObservation> FlowSet::observe() const {
    std::vector<FlowObservation> out;
    out.reserve(flows_.size());
    for (const auto& [to, monitor] : flows_) out.push_back(monitor.observe());
    std::ranges::sort(out, {}, &FlowObservation::destination);
    for (auto& flow : out)
        if (flow.fec != FecRole::none) flow.fec = fec_role(out, flow);
    return out;
}

}  // namespace mastline
