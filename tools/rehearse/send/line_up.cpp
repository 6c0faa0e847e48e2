// SPDX-License-Identifier: Apache-2.0
#include "tools/rehearse/send/line_up.hpp"

#include <algorithm>

namespace mastline {

namespace {

constexpr PcrTicks kOnBefore = std::chrono::milliseconds(1234);

class LineUp {
public:
    LineUp(const ExpectedLineup& lineup, const std::vector<Fault>& faults,
           const PlayedSource& played, const RehearsalTimes& times)
        : lineup_(lineup), faults_(faults), played_(played), times_(times) {}

    std::vector<Transmission> build() {
        for (std::size_t flow = 0; flow < lineup_.flows.size(); ++flow) add_planned(flow);
        for (const auto& fault : faults_) {
            if (fault.kind == FaultKind::wrong_service) add_other(fault);
            if (fault.kind == FaultKind::second_source) add_second(fault);
        }
        return std::move(out_);
    }

private:
    std::vector<Fault> faults_of(std::size_t flow) const {
        std::vector<Fault> out;
        std::copy_if(faults_.begin(), faults_.end(), std::back_inserter(out),
                     [&](const Fault& f) { return f.flow == flow; });
        return out;
    }

    // Flows of one rate start a fraction of a datagram apart, so that all together leave evenly.
    PcrTicks phase(std::size_t flow) const {
        const Expectation& e = lineup_.flows[flow];
        PacketClock clock(e.rate);
        const PcrTicks datagram =
            clock.at_byte(e.packets_per_datagram * std::int64_t{kTsPacketSize});
        return datagram * static_cast<std::int64_t>(flow) /
               static_cast<std::int64_t>(lineup_.flows.size());
    }

    StreamSettings settings(std::size_t flow) const {
        StreamSettings out;
        out.start = phase(flow);
        out.end = times_.end;
        out.utc_at_zero = times_.utc_at_zero;
        for (const auto& fault : faults_) {
            if (fault.flow != flow || fault.kind != FaultKind::low_rate) continue;
            out.slow = fault.window;
            out.slow_rate =
                BitRate(lineup_.flows[flow].rate.bits_per_second() * fault.percent / 100);
        }
        return out;
    }

    void add_planned(std::size_t flow) {
        std::unique_ptr<PacketSource> source = played_ ? played_(flow, phase(flow)) : nullptr;
        if (!source) source = std::make_unique<ChannelStream>(lineup_.flows[flow], settings(flow));
        out_.emplace_back(Route{flow, false}, lineup_.flows[flow], std::move(source),
                          faults_of(flow), times_.end);
    }

    // The planned transmission holds its datagrams back meanwhile.
    void add_other(const Fault& fault) {
        StreamSettings other = settings(fault.other);
        other.start += fault.window.begin;
        other.end = std::min(fault.window.end, times_.end);
        add_extra({fault.flow, false}, fault, lineup_.flows[fault.other], other);
    }

    // A second sender has been on for a while: its counters and clock are not those of the planned.
    void add_second(const Fault& fault) {
        StreamSettings second = settings(fault.flow);
        second.start += fault.window.begin - kOnBefore;
        second.end = std::min(fault.window.end, times_.end);
        second.clock_at_zero += 2 * kOnBefore;
        auto& added = add_extra({fault.flow, true}, fault, lineup_.flows[fault.flow], second);
        added.skip_to(fault.window.begin);
    }

    Transmission& add_extra(Route route, const Fault& fault, const Expectation& content,
                            const StreamSettings& settings) {
        return out_.emplace_back(route, lineup_.flows[route.flow],
                                 std::make_unique<ChannelStream>(content, settings),
                                 std::vector<Fault>{}, std::min(fault.window.end, times_.end));
    }

    const ExpectedLineup& lineup_;
    const std::vector<Fault>& faults_;
    const PlayedSource& played_;
    const RehearsalTimes& times_;
    std::vector<Transmission> out_;
};

}  // namespace

std::vector<Transmission> line_up(const ExpectedLineup& lineup, const std::vector<Fault>& faults,
                                  const PlayedSource& played, const RehearsalTimes& times) {
    return LineUp(lineup, faults, played, times).build();
}

}  // namespace mastline
