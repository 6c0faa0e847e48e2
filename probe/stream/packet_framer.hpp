// SPDX-License-Identifier: Apache-2.0
// Finds the packets in bytes cut anywhere. Sync is gained with five good sync bytes and lost with
// two bad ones in a row (ISO/IEC 13818-1 annex G.01; TR 101 290 no. 1.1).
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

#include "mastline/bytes/byte_reader.hpp"
#include "mastline/mpeg/pid.hpp"

namespace mastline {

class PacketFramer {
public:
    PacketFramer() { pending_.reserve(kChunk + 5 * kTsPacketSize); }

    // Calls run(ByteView) with stretches of whole packets in sync, among them packets whose lone
    // bad sync byte the packets around outvote, and lost() where sync is lost. The views live
    // during the call.
    template <class Run, class Lost>
    void feed(ByteView in, Run&& run, Lost&& lost) {
        while (!in.empty()) {
            if (!locked_) {
                absorb(in, kChunk);
            } else if (!pending_.empty()) {
                absorb(in, kTsPacketSize - pending_.size() % kTsPacketSize);
                if (pending_.size() < kTsPacketSize) continue;
            } else {
                std::size_t taken = 0;
                do {
                    taken = take(in, run, lost);
                    in = in.subspan(taken);
                } while (taken > 0 && locked_);
                if (locked_) absorb(in, in.size());
                continue;
            }
            drain(run, lost);
        }
    }

    // Nothing more comes: what was held back for want of a neighbour.
    template <class Run>
    void finish(Run&& run) {
        const std::size_t whole = pending_.size() / kTsPacketSize * kTsPacketSize;
        if (!locked_ && ever_locked_) return drop_partial();  // sync never came back
        if (whole == 0 || (!locked_ && (skipped_ > 0 || !looks_aligned(whole)))) return;
        locked_ = true;
        run(ByteView(pending_).first(whole));
        pending_.erase(pending_.begin(), pending_.begin() + static_cast<std::ptrdiff_t>(whole));
    }

    // Bytes are missing here; the next ones begin a packet if the last ones ended one.
    void drop_partial() {
        skipped_ += pending_.size();
        pending_.clear();
    }

    bool locked() const { return locked_; }
    bool holds_packets() const { return pending_.size() >= kTsPacketSize; }
    std::uint64_t skipped() const { return skipped_; }

private:
    static constexpr std::size_t kChunk = 16384;
    static constexpr std::size_t kToLock = 5;
    // Packets in one run: what is looked at several times stays in the processor's cache.
    static constexpr std::size_t kRun = 512;

    template <class Run, class Lost>
    std::size_t take(ByteView in, Run&& run, Lost&& lost) {
        bool sync_lost = false;
        const std::size_t size = in_sync(in, sync_lost) * kTsPacketSize;
        if (size > 0) run(in.first(size));
        if (sync_lost) {
            locked_ = false;
            lost();
        }
        return size;
    }
    // Takes from what is pending until it needs more bytes.
    template <class Run, class Lost>
    void drain(Run&& run, Lost&& lost) {
        while (locked_ || seek()) {
            const std::size_t taken = take(pending_, run, lost);
            pending_.erase(pending_.begin(), pending_.begin() + static_cast<std::ptrdiff_t>(taken));
            if (locked_) return;
        }
    }
    // Packets from the start that are in sync for certain.
    static std::size_t in_sync(ByteView in, bool& lost);
    void absorb(ByteView& in, std::size_t most);
    bool seek();
    bool looks_aligned(std::size_t whole) const;

    std::vector<std::byte> pending_;
    bool locked_ = false, ever_locked_ = false;
    std::uint64_t skipped_ = 0;
};

}  // namespace mastline
