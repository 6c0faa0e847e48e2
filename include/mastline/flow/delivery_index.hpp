// SPDX-License-Identifier: Apache-2.0
// Media Delivery Index (RFC 4445): delay factor and media loss rate, per second.
#pragma once

#include <algorithm>
#include <cstdint>
#include <optional>

#include "mastline/units/bit_rate.hpp"
#include "mastline/units/ticks.hpp"

namespace mastline {

struct DeliveryIndexObservation {
    std::uint64_t intervals = 0;         // whole seconds that were judged
    Duration max_delay_factor{};
    Duration last_delay_factor{};
    std::uint64_t max_media_loss_rate = 0;  // media packets lost or out of order in one second
    BitRate media_rate;                  // that the last interval was judged with
    bool operator==(const DeliveryIndexObservation&) const = default;
};

// The media rate is the planned one where there is a plan, else that of the second before.
class DeliveryIndex {
public:
    explicit DeliveryIndex(std::optional<BitRate> planned = std::nullopt) : planned_(planned) {}

    // Starts the first interval; otherwise the first arrival does.
    void start(Duration at);
    // `bytes` of media arrived. Times must not go back.
    void arrived(Duration at, std::size_t bytes);
    // Media packets (transport packets) lost or out of order, by RTP.
    void lost(std::uint64_t media_packets) { lost_ += media_packets; }

    // Changes when a second has been judged.
    std::uint64_t intervals() const { return out_.intervals; }
    Duration last_delay_factor() const { return out_.last_delay_factor; }

    // What was lost in a second that is not over yet counts too: its rate can only rise.
    DeliveryIndexObservation observe() const {
        DeliveryIndexObservation out = out_;
        out.max_media_loss_rate = std::max(out.max_media_loss_rate, lost_);
        return out;
    }

private:
    void close(Duration at);
    void sample(double virtual_buffer);

    std::optional<BitRate> planned_;
    std::optional<BitRate> rate_;  // bits per second; none in a first second without a plan
    std::optional<Duration> start_;
    double bytes_ = 0;  // since start_
    double least_ = 0, most_ = 0;
    std::uint64_t lost_ = 0;
    DeliveryIndexObservation out_;
};

}  // namespace mastline
