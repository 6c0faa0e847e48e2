// SPDX-License-Identifier: Apache-2.0
// A watch without an end: the checks of a verification over windows that roll on. Datagrams in, a look
// at all channels out at any time.
#pragma once

#include <cstdint>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "mastline/flow/flow_set.hpp"
#include "mastline/igmp/membership.hpp"
#include "mastline/source/packet_sink.hpp"
#include "mastline/watch/lineup_look.hpp"

namespace mastline {

// A window is judged from its start to now, and once more for as long as the next one lasts: what went
// wrong stays told for one window at least and two at most. The next window begins kOverlap before the
// one in use ends and sees everything meanwhile, so no packet falls between two windows, and a window
// has met the tables of its stream by the time it is judged alone.
class RollingWatch final : public PacketSink {
public:
    static constexpr Duration kOverlap = std::chrono::milliseconds(2500);
    // Queriers and members that were not heard for longer are forgotten.
    static constexpr Duration kMembershipSpan = std::chrono::minutes(10);

    // REQUIRES: window > kOverlap.
    RollingWatch(ExpectedLineup lineup, Duration start, Duration window);

    void on_datagram(const Datagram& datagram) override;
    void on_own_loss(const FlowAddress& flow, std::uint64_t count) override;
    void on_membership(const IpPacket& packet) override;
    void on_own_loss_somewhere() override;

    // `blind_to_membership`: why membership messages are not seen; empty when they are. `now` does not
    // fall from call to call.
    LineupLook look(Duration now, const std::string& blind_to_membership = {});

    // From here on picks what a still of the channel can be decoded from, until it is ended. Windows that roll
    // do not disturb it. The place of a channel is that in the lineup.
    void want_still(std::size_t channel);
    StillMaterial still(std::size_t channel) const;
    void end_still(std::size_t channel);

    const ExpectedLineup& lineup() const { return lineup_; }

private:
    struct Window {
        FlowSet flows;
        Duration start{};
    };
    struct Kept {
        std::optional<Verdict> last_window;
        Duration last_start{};
        FlowCounts before;  // the window's counts when it was last looked at
        FlowCounts total;
        std::vector<std::pair<Duration, std::uint64_t>> bytes;  // of the last looks
    };

    Window new_window(Duration now) const;
    void roll(Duration now, const std::vector<Verdict>& verdicts);
    void count(Kept& kept, const FlowObservation* seen, Duration now);
    Check querier(Duration now, const std::string& blind) const;
    void renew_membership(Duration now);

    ExpectedLineup lineup_;
    Duration window_;
    std::set<std::size_t> stills_;  // channels of which one is wanted
    Window current_;                // made after these
    std::optional<Window> next_;
    std::vector<Kept> kept_;
    MembershipMonitor membership_, next_membership_;
    Duration membership_start_, next_membership_start_;
};

}  // namespace mastline
