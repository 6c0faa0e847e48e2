// SPDX-License-Identifier: Apache-2.0
#include "probe/flow/repeats.hpp"

#include <algorithm>
#include <bit>
#include <utility>

#include "mastline/mpeg/pid.hpp"

namespace mastline {

namespace {

// Both halves of a product depend on every bit of both factors.
std::uint64_t folded_product(std::uint64_t a, std::uint64_t b) {
    __extension__ using Wide = unsigned __int128;
    const Wide product = Wide{a} * b;
    return static_cast<std::uint64_t>(product >> 64) ^ static_cast<std::uint64_t>(product);
}

// Of three words of a packet. One packet does not wait for the one before.
std::uint64_t packet_hash(std::uint64_t front, std::uint64_t middle, std::uint64_t end) {
    return folded_product(front ^ 0x9E3779B97F4A7C15ULL, middle ^ 0xC2B2AE3D27D4EB4FULL) ^
           folded_product(end ^ 0x165667B19E3779F9ULL, front ^ 0xD6E8FEB86659FD93ULL);
}

constexpr bool has_counter(std::uint32_t header) {
    const bool null = (header >> 8 & 0x1FFF) == kNullPid.value();
    const bool payload = (header & 0x10) != 0;  // the counter stands still without payload
    return !null && payload;
}

// Filler data of a constant-rate encoder is one byte value throughout: two such packets are alike
// whenever their counters are.
constexpr bool is_filler(std::uint64_t middle, std::uint64_t end) {
    return middle == end && middle == (middle & 0xFF) * 0x0101010101010101ULL;
}

}  // namespace

bool Repeats::follows(std::uint32_t header) {
    auto& last = counters_[header >> 8 & 0x1FFF];
    const auto counter = static_cast<std::uint8_t>(header & 0x0F);
    const bool next = last == kNoCounter || counter == ((last + 1) & 0x0F);
    last = counter;
    return next;
}

bool Repeats::add(ByteView packets) {
    std::uint64_t hash = 0xCBF29CE484222325ULL ^ packets.size();
    bool telling = false, goes_on = true;
    for (std::size_t at = 0; at + kTsPacketSize <= packets.size(); at += kTsPacketSize) {
        const std::uint32_t header = read_u32(packets, at);
        const std::uint64_t middle = read_u64(packets, at + 8);
        const std::uint64_t end = read_u64(packets, at + kTsPacketSize - 8);
        hash = std::rotl(hash, 7) + packet_hash(read_u64(packets, at), middle, end);
        if (!has_counter(header)) continue;
        if (!telling) telling = !is_filler(middle, end);
        goes_on &= follows(header);
    }
    const bool twin = hash == std::exchange(last_, hash);
    // Alone, filler that begins again may be a loss; where datagrams come twice it is one more that does.
    if (!telling) return !goes_on && twin && repeating_;
    repeating_ = !goes_on && std::ranges::find(before_, hash) != before_.end();
    if (!repeating_) {
        before_[next_] = hash;
        next_ = (next_ + 1) % before_.size();
    }
    return repeating_;
}

}  // namespace mastline
