// SPDX-License-Identifier: Apache-2.0
#include "mastline/source/block_reader.hpp"

#include <algorithm>

namespace mastline {

void BlockReader::fill(std::size_t count) {
    std::copy(buffer_.begin() + static_cast<std::ptrdiff_t>(from_),
              buffer_.begin() + static_cast<std::ptrdiff_t>(to_), buffer_.begin());
    to_ -= from_;
    from_ = 0;
    if (buffer_.size() < count + kBlock) buffer_.resize(count + kBlock);
    while (to_ < count && !ended_) {
        const std::size_t got = input_.read(std::span(buffer_).subspan(to_, kBlock));
        ended_ = got < kBlock;
        to_ += got;
    }
}

}  // namespace mastline
