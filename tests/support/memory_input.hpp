// SPDX-License-Identifier: Apache-2.0
// An input that lies in memory.
#pragma once

#include <algorithm>

#include "mastline/source/byte_input.hpp"

namespace mastline::test {

class MemoryInput final : public ByteInput {
public:
    // The bytes must outlive the input.
    explicit MemoryInput(ByteView bytes) : bytes_(bytes) {}
    std::size_t read(std::span<std::byte> into) override {
        const std::size_t n = std::min(into.size(), bytes_.size());
        std::copy_n(bytes_.begin(), n, into.begin());
        bytes_ = bytes_.subspan(n);
        return n;
    }

private:
    ByteView bytes_;
};

}  // namespace mastline::test
