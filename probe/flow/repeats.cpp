// SPDX-License-Identifier: Apache-2.0
#include "probe/flow/repeats.hpp"

#include <algorithm>

#include "mastline/mpeg/pid.hpp"

namespace mastline {

namespace {

// FNV-1a's way of mixing, on whole words.
void mix(std::uint64_t& hash, std::uint64_t word) {
    hash = (hash ^ word) * 0x100000001B3ULL;
    hash ^= hash >> 29;
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
        mix(hash, read_u64(packets, at));
        mix(hash, middle);
        mix(hash, end);
        if (!has_counter(header)) continue;
        telling |= !is_filler(middle, end);
        goes_on &= follows(header);
    }
    if (!telling) return false;
    const bool repeated = !goes_on && std::ranges::find(before_, hash) != before_.end();
    if (!repeated) {
        before_[next_] = hash;
        next_ = (next_ + 1) % before_.size();
    }
    return repeated;
}

}  // namespace mastline
