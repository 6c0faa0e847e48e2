// SPDX-License-Identifier: Apache-2.0
#include "packet_framer.hpp"

#include <algorithm>

namespace mastline {

namespace {

constexpr std::byte kSync{kSyncByte};

}  // namespace

std::size_t PacketFramer::in_sync(ByteView in, bool& lost) {
    const std::size_t whole = std::min(in.size() / kTsPacketSize, kRun);
    for (std::size_t i = 0; i < whole; ++i) {
        __builtin_prefetch(in.data() + (i + 32) * kTsPacketSize);
        if (in[i * kTsPacketSize] == kSync) continue;
        const std::size_t next = (i + 1) * kTsPacketSize;
        if (next < in.size() && in[next] == kSync) continue;
        lost = next < in.size();
        return i;
    }
    return whole;
}

void PacketFramer::absorb(ByteView& in, std::size_t most) {
    const std::size_t n = std::min(most, in.size());
    pending_.insert(pending_.end(), in.begin(), in.begin() + static_cast<std::ptrdiff_t>(n));
    in = in.subspan(n);
}

// Drops what cannot be the start of five packets; true when sync is gained.
bool PacketFramer::seek() {
    constexpr std::size_t reach = (kToLock - 1) * kTsPacketSize;
    std::size_t at = 0;
    for (; at + reach < pending_.size(); ++at) {
        std::size_t good = 0;
        while (good < kToLock && pending_[at + good * kTsPacketSize] == kSync) ++good;
        if (good == kToLock) {
            locked_ = ever_locked_ = true;
            break;
        }
    }
    skipped_ += at;
    pending_.erase(pending_.begin(), pending_.begin() + static_cast<std::ptrdiff_t>(at));
    return locked_;
}

bool PacketFramer::looks_aligned(std::size_t whole) const {
    for (std::size_t at = 0; at < whole; at += kTsPacketSize)
        if (pending_[at] != kSync) return false;
    return true;
}

}  // namespace mastline
