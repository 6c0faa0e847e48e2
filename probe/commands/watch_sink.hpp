// SPDX-License-Identifier: Apache-2.0
// Joins a way of listening to the checks.
#pragma once

#include <algorithm>
#include <map>
#include <optional>

#include "mastline/flow/flow_set.hpp"
#include "mastline/igmp/membership.hpp"
#include "mastline/source/packet_sink.hpp"
#include "mastline/verdict/judge.hpp"

namespace mastline {

class WatchSink final : public PacketSink {
public:
    explicit WatchSink(unsigned threads = 1) : flows_(threads) {}

    void on_datagram(const Datagram& datagram) override {
        if (leaving_) {
            after_[{datagram.destination, datagram.port}] = datagram.arrival;
            return;
        }
        if (datagram.stamped) widen(datagram.arrival);
        ++datagrams_;
        flows_.datagram(datagram);
    }
    void on_own_loss(const FlowAddress& flow, std::uint64_t count) override {
        flows_.own_loss(destination_of(flow), count);
    }
    void on_own_loss_somewhere() override { flows_.own_loss_somewhere(); }
    void on_membership(const IpPacket& packet) override {
        membership_.packet(packet);
        if (!packet.frame.bytes.empty()) messages_.push(packet.arrival, packet.frame);
    }

    FlowSet& flows() { return flows_; }
    const FlowSet& flows() const { return flows_; }
    // The last membership messages, as they were on the wire.
    const PacketRing& membership_packets() const { return messages_; }
    const MembershipMonitor& membership() const { return membership_; }
    std::uint64_t datagrams() const { return datagrams_; }
    // From here on datagrams are no part of the watch: they came although every group was left.
    void leaving() { leaving_ = true; }
    // The last datagram of each flow since.
    const std::map<Destination, Duration>& since_leaving() const { return after_; }
    // From the first to the last stamped datagram.
    const Watch& seen() const { return seen_; }

private:
    void widen(Duration at) {
        seen_.start = std::min(seen_.start.value_or(at), at);
        seen_.end = std::max(seen_.end.value_or(at), at);
    }

    FlowSet flows_;
    MembershipMonitor membership_;
    PacketRing messages_{256 * 1024};
    std::uint64_t datagrams_ = 0;
    Watch seen_;
    bool leaving_ = false;
    std::map<Destination, Duration> after_;
};

// What the plan says of a flow, as its monitor wants it.
inline FlowOptions options_of(const Expectation& expected, std::size_t recorded_bytes = 0) {
    FlowOptions out;
    out.recorded_bytes = recorded_bytes;
    out.source = expected.source;
    out.media_rate = expected.rate;
    return out;
}

// Every flow of the plan, with how it goes over time.
inline void expect_lineup(FlowSet& flows, const ExpectedLineup& plan, std::size_t recorded_bytes) {
    for (const auto& e : plan.flows) {
        auto options = options_of(e, recorded_bytes);
        options.over_time = true;
        flows.expect(destination_of(e.flow), std::move(options));
    }
}

}  // namespace mastline
