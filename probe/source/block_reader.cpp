// SPDX-License-Identifier: Apache-2.0
#include "mastline/source/block_reader.hpp"

#include <algorithm>

namespace mastline {

void BlockReader::fill(std::size_t count) {
    const auto placed = input_.in_place(position_, count);
    if (!placed) return read_on(count);
    ahead_ = *placed;
    ended_ = ahead_.size() < count;
}

void BlockReader::read_on(std::size_t count) {
    std::size_t got = ahead_.size();
    std::copy(ahead_.begin(), ahead_.end(), buffer_.begin());  // to the front, from further back
    if (buffer_.size() < count + kBlock) buffer_.resize(count + kBlock);
    while (got < count && !ended_) {
        const std::size_t more = input_.read(std::span(buffer_).subspan(got, kBlock));
        ended_ = more < kBlock;
        got += more;
    }
    ahead_ = ByteView(buffer_).first(got);
}

}  // namespace mastline
