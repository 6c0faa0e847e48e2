// SPDX-License-Identifier: Apache-2.0
// Copies of datagrams on their way to another thread.
#pragma once

#include <vector>

#include "mastline/net/datagram.hpp"

namespace mastline {

class DatagramBatch {
public:
    DatagramBatch();

    // False when it does not fit any more; an empty batch takes any datagram.
    bool add(const Datagram& datagram);
    bool empty() const { return entries_.empty(); }
    void clear();

    template <class Take>
    void each(Take&& take) const {
        for (const Entry& e : entries_) {
            Datagram d = e.datagram;
            d.frame.bytes = ByteView(bytes_).subspan(e.start, e.frame_size);
            d.payload = ByteView(bytes_).subspan(e.start + e.payload_at, e.payload_size);
            take(d);
        }
    }

private:
    static constexpr std::size_t kBytes = 256 * 1024;
    struct Entry {
        Datagram datagram;  // without its views
        std::size_t start, frame_size, payload_at, payload_size;
    };

    std::vector<std::byte> bytes_;
    std::vector<Entry> entries_;
};

}  // namespace mastline
