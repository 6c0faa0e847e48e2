// SPDX-License-Identifier: Apache-2.0
#include "mastline/flow/flow_set.hpp"

#include <algorithm>
#include <cstdint>

#include "probe/flow/flow_crew.hpp"

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
        return port > 0 && has_rtp_stream(flows, {flow.destination.address, {static_cast<std::uint16_t>(port)}, flow.destination.wire});
    };
    if (media_at(2)) return FecRole::column;
    return media_at(4) ? FecRole::row : FecRole::none;
}

}  // namespace

FlowSet::FlowSet(unsigned threads) : crew_(std::make_unique<FlowCrew>(threads)) {}
FlowSet::FlowSet(FlowSet&&) noexcept = default;
FlowSet& FlowSet::operator=(FlowSet&&) noexcept = default;
FlowSet::~FlowSet() = default;

void FlowSet::expect(Destination destination, FlowOptions options) {
    crew_->settled(destination.address).expect(destination, std::move(options));
}

void FlowSet::datagram(const Datagram& datagram) { crew_->datagram(datagram); }

void FlowSet::own_loss(Destination destination, std::uint64_t count) {
    crew_->settled(destination.address).own_loss(destination, count);
}

void FlowSet::own_loss_somewhere() {
    for (auto& shard : crew_->settled()) shard.own_loss_somewhere();
}

std::optional<Recording> FlowSet::recording(Destination destination) const {
    return crew_->settled(destination.address).recording(destination);
}

void FlowSet::want_still(Destination destination, ProgramNumber programme) {
    crew_->settled(destination.address).want_still(destination, programme);
}

std::optional<StillMaterial> FlowSet::still(Destination destination) const {
    return crew_->settled(destination.address).still(destination);
}

void FlowSet::end_still(Destination destination) { crew_->settled(destination.address).end_still(destination); }

std::size_t FlowSet::size() const {
    std::size_t out = 0;
    for (const auto& shard : crew_->settled()) out += shard.size();
    return out;
}

std::vector<FlowObservation> FlowSet::observe() const {
    std::vector<FlowObservation> out;
    for (const auto& shard : crew_->settled()) shard.observe(out);
    std::ranges::sort(out, {}, &FlowObservation::destination);
    for (auto& flow : out)
        if (flow.fec != FecRole::none) flow.fec = fec_role(out, flow);
    return out;
}

}  // namespace mastline
