// SPDX-License-Identifier: Apache-2.0
// Where the packets of a stream come from: made from the plan, or played from a file.
#pragma once

#include "mastline/units/ticks.hpp"
#include "tools/rehearse/ts/packet.hpp"

namespace mastline {

class PacketSource {
public:
    virtual ~PacketSource() = default;
    // When the next packet leaves, counted from the start of the rehearsal.
    virtual PcrTicks now() const = 0;
    // REQUIRES: out.size() is a multiple of 188
    virtual void next(ByteSpan out) = 0;
};

}  // namespace mastline
