// SPDX-License-Identifier: Apache-2.0
// Inputs that lie in memory.
#pragma once

#include <algorithm>
#include <vector>

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

// Shows little more than it is asked for at once, and takes it away with the next call: what lasts too
// short or reaches too far is seen by an address sanitizer.
class WindowedInput final : public ByteInput {
public:
    // The bytes must outlive the input.
    explicit WindowedInput(ByteView bytes) : bytes_(bytes) {}
    std::size_t read(std::span<std::byte>) override { return 0; }
    std::optional<ByteView> in_place(std::uint64_t from, std::size_t count) override {
        const auto rest = bytes_.subspan(std::min<std::uint64_t>(from, bytes_.size()));
        const auto shown = rest.first(std::min<std::size_t>(rest.size(), count + from % 31));
        window_ = std::vector<std::byte>(shown.begin(), shown.end());
        return window_;
    }

private:
    ByteView bytes_;
    std::vector<std::byte> window_;
};

}  // namespace mastline::test
