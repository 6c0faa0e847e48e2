// SPDX-License-Identifier: Apache-2.0
// The continuity_counter rules of ISO/IEC 13818-1, 2.4.3.3, for one packet after another of a PID.
#pragma once

#include <cstdint>

#include "mastline/ts/packet_header.hpp"

namespace mastline {

// What one has to remember of the packet before.
struct ContinuityMemory {
    bool known = false;        // a packet of this PID was seen
    std::uint8_t counter = 0;
    bool had_payload = false;
    bool was_duplicate = false;
    bool operator==(const ContinuityMemory&) const = default;
};

enum class ContinuityVerdict : std::uint8_t { good, duplicate, error };

struct ContinuityStep {
    ContinuityVerdict verdict = ContinuityVerdict::good;
    unsigned lost = 0;     // packets that the counter says are missing, modulo 16
    bool repeated = false; // same bytes once more: the payload must not be used again
    ContinuityMemory next;
    bool operator==(const ContinuityStep&) const = default;
};

// `excused`: discontinuity_indicator is set. same_bytes() is asked only where the counter stands
// still: whether the packet equals the one before but for its PCR.
template <class SameBytes>
ContinuityStep continuity_step(const ContinuityMemory& before, const PacketHeader& now, bool excused,
                               SameBytes&& same_bytes) {
    ContinuityStep step{.next = {true, now.continuity_counter, now.has_payload, false}};
    if (!before.known) return step;
    const unsigned ahead = (now.continuity_counter - before.counter) & 15U;
    // A packet with the indicator may be sent twice like any other.
    if (excused && (ahead != 0 || !now.has_payload || !before.had_payload || before.was_duplicate || !same_bytes()))
        return step;
    if (!now.has_payload) {  // the counter stands still
        if (ahead == 0) return step;
        step.verdict = ContinuityVerdict::error;
        step.lost = ahead;
        return step;
    }
    if (ahead == 1) return step;
    step.verdict = ContinuityVerdict::error;
    step.lost = (ahead + 15U) & 15U;
    if (ahead != 0 || !before.had_payload || !same_bytes()) return step;
    step.lost = 0;
    step.repeated = true;
    step.next.was_duplicate = true;
    // Two, and only two, alike: the third is an error.
    if (!before.was_duplicate) step.verdict = ContinuityVerdict::duplicate;
    return step;
}

// Whether two packets are alike but for the PCR that both may carry (2.4.3.3).
bool same_but_pcr(TsPacket a, TsPacket b);

}  // namespace mastline
