// SPDX-License-Identifier: Apache-2.0
// Loss, order and repetition by RTP sequence numbers (RFC 3550 sections A.1 and A.3).
#pragma once

#include <bitset>
#include <cstdint>
#include <optional>

namespace mastline {

// One source's numbers. Counts are exact for packets up to kWindow late.
class RtpSequence {
public:
    static constexpr std::size_t kWindow = 1024;
    static constexpr std::int64_t kMaxDropout = 3000;  // RFC 3550 A.1: further ahead is a restart

    enum class Arrival {
        next,       // in order, nothing missing before it (the first one too)
        after_gap,  // in order, some before it are missing
        late,       // one of the missing
        duplicate,
        stray,      // far from all others; alone
        restart,    // the sender began anew, with the stray before
    };

    Arrival add(std::uint16_t sequence_number);

    // `count` packets were dropped by the listening machine: gaps up to that size from here on are
    // its own, not the network's.
    void own_loss(std::uint64_t count) { own_pending_ += count; }

    std::uint64_t received() const { return received_; }      // different packets
    std::uint64_t lost() const { return missing_; }           // expected less received; late ones came
    std::uint64_t reordered() const { return reordered_; }    // came late
    std::uint64_t duplicates() const { return duplicates_; }
    std::uint64_t gaps() const { return gaps_; }              // runs of missing packets
    std::uint64_t largest_gap() const { return largest_gap_; }
    std::uint64_t restarts() const { return restarts_; }
    std::uint64_t own_lost() const { return own_lost_; }
    // Packets missing before the last after_gap that are not our own loss.
    std::uint64_t last_gap() const { return last_gap_; }
    // Which of that gap's packets we dropped ourselves is not known.
    bool last_gap_is_partly_own() const { return last_gap_own_; }

    // Numbers extended by the wraps so far: the first and the highest since start or restart.
    bool started() const { return started_; }
    std::int64_t base() const { return base_; }
    std::int64_t highest() const { return highest_; }
    // The extended number that is nearest to the highest.
    std::int64_t extended(std::uint16_t sequence_number) const {
        return highest_ + static_cast<std::int16_t>(static_cast<std::uint16_t>(
                              sequence_number - static_cast<std::uint16_t>(highest_)));
    }
    // Whether it came. REQUIRES: highest() - kWindow < number <= highest()
    bool came(std::int64_t number) const;

private:
    Arrival first(std::uint16_t sequence_number);
    Arrival ahead(std::int64_t extended);
    Arrival behind(std::int64_t extended);

    bool started_ = false;
    std::int64_t base_ = 0;     // the first since start or restart
    std::int64_t highest_ = 0;  // extended by the number of wraps
    std::optional<std::uint16_t> suspect_;  // successor of an out-of-range number
    std::bitset<kWindow> seen_;             // by extended number modulo kWindow
    std::uint64_t received_ = 0, missing_ = 0, reordered_ = 0, duplicates_ = 0;
    std::uint64_t gaps_ = 0, largest_gap_ = 0, last_gap_ = 0, restarts_ = 0;
    std::uint64_t own_pending_ = 0, own_lost_ = 0;
    bool last_gap_own_ = false;
};

}  // namespace mastline
