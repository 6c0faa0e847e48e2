// SPDX-License-Identifier: Apache-2.0
// Follows the RTP packets of one flow and the repair packets that protect them, in fixed memory.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "mastline/flow/repair_observation.hpp"
#include "mastline/rtp/fec_header.hpp"
#include "mastline/rtp/header.hpp"
#include "mastline/rtp/sequence.hpp"

namespace mastline {

enum class RepairKind : std::uint8_t { column, row };

// Sequence numbers are extended as RtpSequence does it.
class RepairMonitor {
public:
    // The media so far: which of its last packets came, not what they held.
    explicit RepairMonitor(const RtpSequence& so_far);

    // A packet came; `header` and `datagram` (the UDP payload) tell what it holds. `whole`: nothing
    // of it was cut off. `own`: packets missing just before it may be our own loss.
    void media(std::int64_t number, const RtpHeader& header, ByteView datagram, bool whole, bool own);
    // `body`: what stands behind the RTP header of the repair packet, without its padding.
    void repair(RepairKind kind, ByteView body, bool whole);
    // The media's numbers begin anew.
    void restart();

    // As if nothing more came.
    RepairObservation observe() const;

private:
    // A lost packet is judged when so many later ones have come; two matrices of 20 x 20 fit.
    static constexpr std::int64_t kPatience = 1024;
    static constexpr std::int64_t kStep = 256;      // judged together
    static constexpr unsigned kLargestSpan = 512;   // of one repair packet
    static constexpr std::int64_t kWindow = 2048;   // >= kPatience + kStep + kLargestSpan
    static constexpr std::size_t kMostPending = 2048;

    enum Mark : std::uint8_t { came = 1, told = 2, lost = 4, by_column = 8, by_row = 16, by_both = 32 };

    // What is compared of a packet, all of it linear in the exclusive or.
    struct Parity {
        std::uint64_t payload = 0;  // folded into one word
        std::uint32_t timestamp = 0;
        std::uint16_t length = 0;
        std::uint8_t payload_type = 0;
        void mix(const Parity& other);
        bool operator==(const Parity&) const = default;
    };
    struct Slot {
        std::int64_t number = -1;
        Parity parity;
        std::uint8_t marks = 0;
        bool has(Mark m) const { return (marks & m) != 0; }
    };
    struct Pending {
        std::int64_t base = 0;
        unsigned step = 1, count = 0;
        RepairKind kind = RepairKind::column;
        bool whole = true;
        Parity parity;
        std::int64_t last() const { return base + std::int64_t{step} * (count - 1); }
        bool covers(std::int64_t number) const {
            return number >= base && number <= last() && (number - base) % step == 0;
        }
    };

    static std::uint64_t fold(ByteView bytes);
    Slot* find(std::int64_t number);
    const Slot* find(std::int64_t number) const;
    Slot& enter(std::int64_t number, std::uint8_t marks);
    void advance(std::int64_t number, bool own);
    std::int64_t nearest(std::uint16_t base) const;
    bool anything_lost() const;
    void recover();
    bool recover_once(Mark by);
    void judge(std::int64_t upto, bool at_end);
    bool can_be_told(std::int64_t number, bool at_end) const;
    void compare(const Pending& p);
    void drop_settled();
    void finish();

    RepairObservation out_;
    std::vector<Slot> slots_;
    std::vector<Pending> pending_;
    bool started_ = false;
    std::int64_t highest_ = 0;
    std::int64_t judged_ = 0;  // packets below are judged
    std::uint64_t open_ = 0;   // lost packets at hand, not judged yet
    unsigned reach_ = 0;       // largest matrix so far, in packets
};

}  // namespace mastline
