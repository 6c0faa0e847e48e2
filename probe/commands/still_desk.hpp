// SPDX-License-Identifier: Apache-2.0
// Stills of the channels of a running watch: asks for them in turn, a few at a time, and has them decoded
// beside the watch, one after the other.
#pragma once

#include <condition_variable>
#include <deque>
#include <mutex>
#include <string>
#include <thread>
#include <vector>

#include "mastline/still/still.hpp"
#include "mastline/watch/rolling_watch.hpp"

namespace mastline {

class StillDesk {
public:
    // Each channel has a new one so often; where decoding that many would take more than a quarter of a
    // processor, less often.
    static constexpr Duration kPeriod = std::chrono::seconds(30);
    // For so long an access point is waited for before it is told what lacks.
    static constexpr Duration kPatience = std::chrono::seconds(6);
    // Bounds the memory of what is collected, 2 MiB for each at most.
    static constexpr std::size_t kAtATime = 16;

    // REQUIRES: the program can be started.
    StillDesk(std::size_t channels, std::string program);
    ~StillDesk();
    StillDesk(const StillDesk&) = delete;
    StillDesk& operator=(const StillDesk&) = delete;

    // After each look, on the thread that listens; never waits for a decoder.
    void step(RollingWatch& watch, Duration now);

    // In the order of the lineup; any thread.
    std::vector<Still> stills() const;
    Still still(std::size_t channel) const;

private:
    struct Turn {
        std::size_t channel;
        Duration since{};
    };
    struct Task {
        std::size_t channel;
        StillMaterial material;
    };

    // Whether the channel's turn is over.
    bool collect(const Turn& turn, RollingWatch& watch, Duration now);
    bool hand_over(Task task);
    void set(std::size_t channel, Still still);
    void decode_on();

    const std::string program_;
    std::vector<Duration> due_;  // for each channel: when its next turn begins at the earliest
    std::vector<Turn> turns_;
    mutable std::mutex guard_;
    std::condition_variable changed_;
    std::deque<Task> tasks_;
    std::vector<Still> stills_;
    bool ended_ = false;
    std::thread decoder_;  // last: it uses all others
};

}  // namespace mastline
