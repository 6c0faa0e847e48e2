// SPDX-License-Identifier: Apache-2.0
// A rehearsal that goes nowhere: its datagrams are kept, in the order in which they would leave.
#pragma once

#include "flows.hpp"
#include "tools/rehearse/fault/parse_fault.hpp"
#include "tools/rehearse/send/line_up.hpp"
#include "tools/rehearse/send/schedule.hpp"

namespace mastline::test {

struct Sent {
    Route route;
    PcrTicks due{};  // when it should leave
    std::vector<std::byte> bytes;
};

class RecordingOutlet final : public Outlet {
public:
    ByteSpan slot(Route) override { return slot_; }
    void commit(Route route, std::size_t size) override {
        sent.push_back(
            {route, due, {slot_.begin(), slot_.begin() + static_cast<std::ptrdiff_t>(size)}});
    }
    void flush() override {}

    PcrTicks due{};
    std::vector<Sent> sent;

private:
    std::array<std::byte, kMostDatagram> slot_{};
};

inline ExpectedLineup lineup_of(std::vector<Expectation> flows) {
    return {"Test", "abc", std::move(flows)};
}

inline std::vector<Sent> rehearse(const ExpectedLineup& lineup,
                                  const std::vector<std::string>& faults,
                                  std::chrono::seconds time) {
    std::vector<Fault> parsed;
    for (const auto& text : faults) {
        const auto fault = parse_fault(text, lineup);
        if (!fault) FAIL(fault.error());
        parsed.push_back(*fault);
    }
    Schedule schedule(line_up(lineup, parsed, {}, {PcrTicks(time), UtcSeconds{}}));
    RecordingOutlet outlet;
    while (schedule.due() < PcrTicks::max()) {
        outlet.due = schedule.due();
        schedule.step(outlet);
    }
    return std::move(outlet.sent);
}

// The transport packets of datagrams without RTP header, whoever sent them.
inline std::vector<Packet> packets_of(const std::vector<Sent>& sent) {
    std::vector<Packet> out;
    for (const auto& datagram : sent)
        for (std::size_t at = 0; at < datagram.bytes.size(); at += kTsPacketSize) {
            out.emplace_back();
            std::copy_n(datagram.bytes.begin() + static_cast<std::ptrdiff_t>(at), kTsPacketSize,
                        out.back().begin());
        }
    return out;
}

}  // namespace mastline::test
