// SPDX-License-Identifier: Apache-2.0
// A legal transport stream (ISO/IEC 13818-1) of constant rate for one flow of the plan: one
// programme with its tables, PCR, components and null packets. Pure: no clock but its own, no
// allocation after construction.
#pragma once

#include <vector>

#include "mastline/expectation/expectation.hpp"
#include "tools/rehearse/stream/component_stream.hpp"
#include "tools/rehearse/stream/packet_source.hpp"
#include "tools/rehearse/stream/section_stream.hpp"
#include "tools/rehearse/ts/packet_clock.hpp"

namespace mastline {

// From `begin` until before `end`, counted from the start of the rehearsal.
struct TimeWindow {
    PcrTicks begin{0};
    PcrTicks end{PcrTicks::max()};
    bool holds(PcrTicks t) const { return begin <= t && t < end; }
};

struct StreamSettings {
    PcrTicks start{0};                              // when the first packet leaves
    PcrTicks end{PcrTicks::max()};                  // access units are out by then
    PcrTicks clock_at_zero{PcrTicks(600'000'000)};  // what the programme's clock shows at time 0
    UtcSeconds utc_at_zero{};                       // for the TDT
    TimeWindow slow;                                // where the rate is `slow_rate`
    BitRate slow_rate;                              // 0: the planned rate all along
};

class ChannelStream final : public PacketSource {
public:
    // REQUIRES: check_sendable() found no fault with the expectation
    ChannelStream(const Expectation& expectation, const StreamSettings& settings);

    // The rate that tables, PCR and the bare components need, with nothing to spare.
    static BitRate least_rate(const Expectation& expectation);

    PcrTicks now() const override { return clock_.now(); }
    void next(ByteSpan out) override;

private:
    void write_packet(ByteSpan packet);
    void write_pcr_packet(ByteSpan packet);
    void write_time_table(ByteSpan packet);
    void change_rate();
    void share_out(BitRate rate);
    BitRate needed_rate() const;
    std::int64_t fixed_packets_per_hour() const;

    StreamSettings settings_;
    BitRate planned_;
    PacketClock clock_;
    Pid pcr_pid_;
    PcrTicks pcr_interval_{};
    PcrTicks pcr_due_;
    std::vector<SectionStream> sections_;
    SectionStream time_table_;
    std::vector<ComponentStream> components_;
    PcrTicks earliest_;  // no section and no component is due before
};

}  // namespace mastline
