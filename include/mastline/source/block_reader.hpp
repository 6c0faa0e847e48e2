// SPDX-License-Identifier: Apache-2.0
// A window that moves over an input: records of any size come out in one piece, read in large blocks
// or seen where they stand.
#pragma once

#include <cstdint>
#include <vector>

#include "mastline/source/byte_input.hpp"

namespace mastline {

class BlockReader {
public:
    static constexpr std::size_t kBlock = 256 * 1024;

    explicit BlockReader(ByteInput& input) : input_(input) {}

    // At least `count` bytes from the position on, more if at hand; fewer only at the end. Valid
    // until the next call that wants more than is at hand.
    ByteView ahead(std::size_t count) {
        if (ahead_.size() < count && !ended_) fill(count);
        return ahead_;
    }
    // REQUIRES: count <= ahead(count).size()
    void skip(std::size_t count) {
        ahead_ = ahead_.subspan(count);
        position_ += count;
    }
    std::uint64_t position() const { return position_; }
    std::string damage() const { return input_.damage(); }

private:
    void fill(std::size_t count);
    void read_on(std::size_t count);

    ByteInput& input_;
    ByteView ahead_;  // in the input's own memory, or in buffer_
    std::vector<std::byte> buffer_;
    std::uint64_t position_ = 0;
    bool ended_ = false;
};

}  // namespace mastline
