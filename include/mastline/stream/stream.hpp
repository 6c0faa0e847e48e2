// SPDX-License-Identifier: Apache-2.0
// The checks of one flow's transport stream: bytes in, an observation out at any time.
#pragma once

#include <memory>
#include <optional>

#include "mastline/bytes/byte_reader.hpp"
#include "mastline/stream/observation.hpp"
#include "mastline/units/ticks.hpp"

namespace mastline {

struct StreamOptions {
    // How long a referred audio or video PID may stay away (TR 101 290 no. 1.6: user specified).
    Duration pid_period = std::chrono::seconds(5);
};

// Where bytes are missing, and whose fault that is.
enum class Loss {
    before_us,  // lost on the way here (RTP gap, truncated datagram): continuity errors count
    own,        // dropped by the machine that listens: continuity starts afresh, nothing counts
};

// One per flow. Not thread-safe; two monitors share nothing. Pure: no input, no output.
class StreamMonitor {
public:
    explicit StreamMonitor(StreamOptions options = {});
    StreamMonitor(StreamMonitor&&) noexcept;
    StreamMonitor& operator=(StreamMonitor&&) noexcept;
    ~StreamMonitor();

    // Transport packets of 188 bytes, cut anywhere: sync is found and a partial packet is kept for
    // the next call. Give the arrival stamp with every call or with none. The bytes need to live
    // during the call only.
    void packets(ByteView ts_bytes, std::optional<Duration> arrival);

    // Bytes are missing before the next call, which starts at a packet boundary if the one before
    // did: a partial packet is dropped.
    void lost(Loss whose);

    StreamObservation observe() const;

private:
    class State;
    std::unique_ptr<State> state_;
};

}  // namespace mastline
