// SPDX-License-Identifier: Apache-2.0
// A window that moves over an input: records of any size come out in one piece, read in large blocks.
#pragma once

#include <cstdint>
#include <vector>

#include "mastline/source/byte_input.hpp"

namespace mastline {

class BlockReader {
public:
    static constexpr std::size_t kBlock = 256 * 1024;

    explicit BlockReader(ByteInput& input) : input_(input), buffer_(2 * kBlock) {}

    // At least `count` bytes from the position on, more if at hand; fewer only at the end. Valid
    // until the next call.
    ByteView ahead(std::size_t count) {
        if (to_ - from_ < count && !ended_) fill(count);
        return ByteView(buffer_).subspan(from_, to_ - from_);
    }
    // REQUIRES: count <= ahead(count).size()
    void skip(std::size_t count) {
        from_ += count;
        position_ += count;
    }
    std::uint64_t position() const { return position_; }
    std::string damage() const { return input_.damage(); }

private:
    void fill(std::size_t count);

    ByteInput& input_;
    std::vector<std::byte> buffer_;
    std::size_t from_ = 0, to_ = 0;
    std::uint64_t position_ = 0;
    bool ended_ = false;
};

}  // namespace mastline
