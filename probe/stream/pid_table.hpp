// SPDX-License-Identifier: Apache-2.0
// What is kept of each PID to check packet headers at line rate. Most packets of a stream continue
// their PID without anything to look at; one comparison of the whole header finds them.
#pragma once

#include <array>
#include <bit>
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <vector>

#include "continuity.hpp"
#include "mastline/ts/packet_header.hpp"

namespace mastline {

// Header bits as one big-endian number.
namespace header_bits {
inline constexpr std::uint32_t sync = 0xFF000000U, error = 0x00800000U, start = 0x00400000U,
                               pid = 0x001FFF00U, scrambling = 0x000000C0U, adaptation = 0x20U,
                               payload = 0x10U, counter = 0x0FU;
}

inline std::uint32_t header_word(const std::byte* packet) {
    std::uint32_t word = 0;
    std::memcpy(&word, packet, sizeof word);
    if constexpr (std::endian::native == std::endian::little) word = __builtin_bswap32(word);
    return word;
}

// The hot part of a PID's state.
struct PidState {
    // A packet whose header differs from this only in transport_priority needs no look. A PID
    // whose every packet wants one has kLook here, which no header equals.
    std::uint32_t expected = kLook;
    std::uint32_t compared = kCompared;
    const std::byte* last = nullptr;  // its last packet in the bytes at hand
    std::uint64_t packets = 0;

    static constexpr std::uint32_t kLook = 0;  // sync byte 0
    static constexpr std::uint32_t kCompared =
        header_bits::sync | header_bits::error | header_bits::start | header_bits::scrambling |
        header_bits::adaptation | header_bits::payload | header_bits::counter;
};

// The rest of what continuity needs of a PID.
struct PidMemory {
    Pid pid;
    ContinuityMemory continuity;        // up to date unless `expected` runs ahead: see memory()
    std::uint8_t scrambling = 0;        // transport_scrambling_control of the last packet
    bool look_always = false;           // payload wanted: never on the fast path
    std::uint64_t scrambling_since = 0; // PidState::packets when `scrambling` began
    std::uint64_t scrambled = 0;        // before that
    std::array<std::byte, kTsPacketSize> saved{};  // copy of the last packet, between calls
};

class PidTable {
public:
    using Id = std::uint16_t;
    static constexpr Id kNone = 0;

    PidTable() : index_(0x2000, kNone), states_(1), memories_(1) {}

    // Passes over packets that need no look; the first that does, or `end`.
    const std::byte* skip_plain(const std::byte* packet, const std::byte* end) {
        const Id* const index = index_.data();
        PidState* const states = states_.data();
        for (; packet != end; packet += kTsPacketSize) {
            // Headers lie too far apart for the processor to foresee which lines are wanted.
            __builtin_prefetch(packet + 32 * kTsPacketSize);
            const std::uint32_t word = header_word(packet);
            PidState& s = states[index[(word >> 8) & 0x1FFFU]];
            if (((word ^ s.expected) & s.compared) != 0) return packet;
            s.expected = (s.expected & ~header_bits::counter) | ((s.expected + 1) & header_bits::counter);
            ++s.packets;
            s.last = packet;
        }
        return end;
    }

    // kNone when no packet of it was seen.
    Id find(Pid pid) const { return index_[pid.value()]; }
    Id find_or_add(Pid pid);
    std::size_t count() const { return states_.size() - 1; }  // ids are 1 to count()

    // The rules of continuity and scrambling for a packet that needs a look and whose
    // transport_error_indicator is not set. Counts it.
    ContinuityStep step(Id id, TsPacket packet, const PacketHeader& header, bool excused);
    // A damaged packet says it is of this PID: if its counter continues, it takes its place.
    void pass_damaged(const PacketHeader& header);
    // Packets may be missing that were lost by us: the next packet of each PID starts afresh.
    void forget_counters();
    // From now on every packet of the PID needs a look, or only where the header says so.
    void look_always(Id id, bool always);

    PidState& state(Id id) { return states_[id]; }
    const PidState& state(Id id) const { return states_[id]; }
    const PidMemory& memory(Id id) const { return memories_[id]; }
    std::uint64_t scrambled_packets(Id id) const;

    // The bytes at hand go away: copies the last packet of every PID seen in [begin, end).
    void save_last(const std::byte* begin, const std::byte* end);
    void save_last(Id id);

private:
    void expect_next(Id id);
    ContinuityMemory continuity_of(Id id) const;

    std::vector<Id> index_;  // by PID
    std::vector<PidState> states_;
    std::vector<PidMemory> memories_;
};

}  // namespace mastline
