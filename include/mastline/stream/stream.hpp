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
    before_us,  // lost on the way here (RTP gap): continuity errors count
    own,        // dropped by the machine that listens, or cut by the capture: all starts afresh, and no interval
                // across it counts
};

// Faults that show at one packet, met so far. Cheap to ask for at any time; a count never falls.
struct StreamFaults {
    std::uint64_t sync = 0;             // TR 101 290 no. 1.1 and 1.2
    std::uint64_t pat = 0;              // 1.3.a
    std::uint64_t pmt = 0;              // 1.5.a
    std::uint64_t transport_error = 0;  // 2.1
    std::uint64_t continuity = 0;       // 1.4
    std::uint64_t crc = 0;              // 2.2
    std::uint64_t pcr_interval = 0;     // 2.3a
    std::uint64_t pcr_continuity = 0;   // 2.3b
};

// One per flow. Not thread-safe; two monitors share nothing. Pure: no input, no output.
class StreamMonitor {
public:
    explicit StreamMonitor(StreamOptions options = {});
    StreamMonitor(const StreamMonitor& other);  // goes on from where the other is
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
    StreamFaults faults() const;

private:
    class State;
    std::unique_ptr<State> state_;
};

}  // namespace mastline
