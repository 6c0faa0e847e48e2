// SPDX-License-Identifier: Apache-2.0
// Picks from a transport stream what one picture can be decoded from: the first access point of a
// programme's video, whole. Bytes in, pure; does nothing more once it has it.
#pragma once

#include <memory>
#include <optional>

#include "mastline/bytes/byte_reader.hpp"
#include "mastline/mpeg/pid.hpp"
#include "mastline/stream/still_material.hpp"

namespace mastline {

class StillCollector {
public:
    // A picture that needs more is not kept.
    static constexpr std::size_t kMostBytes = 2 * 1024 * 1024;

    // Of that programme; where the stream has others only, of the first.
    explicit StillCollector(ProgramNumber programme);
    StillCollector(StillCollector&&) noexcept;
    StillCollector& operator=(StillCollector&&) noexcept;
    ~StillCollector();

    // Transport packets of 188 bytes, cut anywhere; none where arrivals are not known.
    void packets(ByteView ts_bytes, std::optional<Duration> arrival);
    // Bytes are missing before the next call.
    void lost();

    bool done() const;
    // Not before done(): what is lacking so far.
    StillMaterial material() const;

private:
    class State;
    std::unique_ptr<State> state_;
};

}  // namespace mastline
