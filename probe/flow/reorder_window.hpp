// SPDX-License-Identifier: Apache-2.0
// Puts RTP packets that come a little late back in their place, as the small buffer of a display does.
#pragma once

#include <algorithm>
#include <array>
#include <cstdint>
#include <vector>

#include "mastline/bytes/byte_reader.hpp"
#include "mastline/units/ticks.hpp"

namespace mastline {

// Nothing is held, copied or allocated while packets come in order. Behind a gap packets wait until
// it is filled, at most kDatagrams of them and for kPatience.
class ReorderWindow {
public:
    static constexpr std::size_t kDatagrams = 16;
    static constexpr Duration kPatience = std::chrono::milliseconds(100);

    struct Held {
        std::int64_t number = 0;
        Duration arrival{};
        bool truncated = false;
        std::vector<std::byte> bytes;
    };

    bool holding() const { return count_ > 0; }

    // take(bytes, arrival, truncated) is called with all that is in order now, gap() before one that
    // follows missing packets. The arrival of a late packet is that of the packet behind it: times
    // never go back. False: too late, its place is taken. `number`: extended sequence number.
    template <class Take, class Gap>
    bool add(std::int64_t number, ByteView bytes, Duration arrival, bool truncated, Take&& take, Gap&& gap) {
        if (!started_) {
            started_ = true;
            next_ = number;
        }
        if (number < next_) return false;
        if (number - next_ > static_cast<std::int64_t>(kDatagrams)) {  // no use to wait for so many
            release(take, gap);
            if (number != next_) gap();
            next_ = number;
        }
        if (count_ == 0 && number == next_) {
            ++next_;
            take(bytes, arrival, truncated);
            return true;
        }
        hold(number, bytes, arrival, truncated);
        drain(take);
        while (count_ == kDatagrams || (count_ > 0 && arrival - earliest(0) > kPatience)) {
            gap();
            next_ = held_[0].number;
            drain(take);
        }
        return true;
    }

    // Nothing is waited for any more.
    template <class Take, class Gap>
    void release(Take&& take, Gap&& gap) {
        while (count_ > 0) {
            gap();
            next_ = held_[0].number;
            drain(take);
        }
    }
    // After release(): whatever number comes next is the right one.
    void start_anew() { started_ = false; }

private:
    void hold(std::int64_t number, ByteView bytes, Duration arrival, bool truncated) {
        std::size_t at = count_++;
        for (; at > 0 && held_[at - 1].number > number; --at) std::swap(held_[at], held_[at - 1]);
        Held& h = held_[at];
        h.number = number;
        h.arrival = arrival;
        h.truncated = truncated;
        h.bytes.assign(bytes.begin(), bytes.end());  // its memory stays from one gap to the next
    }
    Duration earliest(std::size_t from) const {
        Duration out = held_[from].arrival;
        for (std::size_t i = from + 1; i < count_; ++i) out = std::min(out, held_[i].arrival);
        return out;
    }
    template <class Take>
    void drain(Take&& take) {
        std::size_t done = 0;
        for (; done < count_ && held_[done].number == next_; ++done, ++next_)
            take(held_[done].bytes, earliest(done), held_[done].truncated);
        std::rotate(held_.begin(), held_.begin() + static_cast<std::ptrdiff_t>(done),
                    held_.begin() + static_cast<std::ptrdiff_t>(count_));
        count_ -= done;
    }

    std::array<Held, kDatagrams> held_;  // the first count_, by number
    std::size_t count_ = 0;
    std::int64_t next_ = 0;
    bool started_ = false;
};

}  // namespace mastline
