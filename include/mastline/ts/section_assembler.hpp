// SPDX-License-Identifier: Apache-2.0
// Puts the sections of one PID together again from the payloads of its packets (ISO/IEC 13818-1,
// 2.4.4.1: pointer_field; sections back to back; 0xFF stuffing behind the last).
#pragma once

#include <algorithm>
#include <cstddef>
#include <vector>

#include "mastline/bytes/byte_reader.hpp"

namespace mastline {

class SectionAssembler {
public:
    static constexpr std::size_t kLongest = 4096;  // private sections and EIT; PSI: 1024

    // Calls whole(ByteView section) for each section that the payload completes, and
    // cut(ByteView start) for one that ends before its section_length says, without a packet lost.
    // The views live during the call. Allocates once, for the first section that spans packets.
    template <class Whole, class Cut>
    void feed(ByteView payload, bool unit_start, Whole&& whole, Cut&& cut) {
        if (!unit_start) {
            if (collecting_ && take(payload)) hand_over(whole);
            return;
        }
        if (payload.empty()) return interrupt();
        const std::size_t pointer = read_u8(payload, 0);
        if (pointer + 1 > payload.size()) return interrupt();
        ByteView before = payload.subspan(1, pointer);
        if (collecting_ && take(before)) hand_over(whole);
        else if (collecting_) cut(ByteView(held_));
        interrupt();
        ByteView rest = payload.subspan(1 + pointer);
        while (!rest.empty() && read_u8(rest, 0) != 0xFF) {
            const std::size_t size = rest.size() < 3 ? 0 : section_size(rest);
            if (size > kLongest) return cut(rest);
            if (size == 0 || size > rest.size()) return begin(rest);
            whole(rest.first(size));
            rest = rest.subspan(size);
        }
    }

    bool collecting() const { return collecting_; }

    // A packet was lost: what is under way cannot be completed.
    void interrupt() {
        collecting_ = false;
        held_.clear();
    }

private:
    static std::size_t section_size(ByteView head) { return 3U + (read_u16(head, 1) & 0x0FFFU); }
    void begin(ByteView start) {
        held_.reserve(kLongest);
        held_.assign(start.begin(), start.end());
        collecting_ = true;
    }
    template <class Whole>
    void hand_over(Whole&& whole) {
        whole(ByteView(held_));
        interrupt();
    }
    // Moves bytes over until the section is whole; true when it is.
    bool take(ByteView& from) {
        const auto move_to = [&](std::size_t size) {
            const std::size_t n = std::min(size - held_.size(), from.size());
            held_.insert(held_.end(), from.begin(), from.begin() + static_cast<std::ptrdiff_t>(n));
            from = from.subspan(n);
            return held_.size() == size;
        };
        if (held_.size() < 3 && !move_to(3)) return false;
        const std::size_t size = section_size(held_);
        if (size > kLongest) return false;
        return move_to(size);
    }

    std::vector<std::byte> held_;
    bool collecting_ = false;
};

}  // namespace mastline
