// SPDX-License-Identifier: Apache-2.0
// A part of a file seen in memory, without a copy of it.
#pragma once

#include <cstddef>
#include <optional>

#include "mastline/bytes/byte_reader.hpp"

namespace mastline {

class MappedWindow {
public:
    // None when the file cannot be seen so. What is there is brought in at once; where the file becomes
    // shorter afterwards, or cannot be read, the bytes are 0xFF.
    // REQUIRES: from is a multiple of the page size, and size is not 0.
    static std::optional<MappedWindow> open(int file, std::size_t from, std::size_t size);

    MappedWindow(MappedWindow&& other) noexcept;
    MappedWindow& operator=(MappedWindow&& other) noexcept;
    ~MappedWindow();

    ByteView bytes() const { return {begin_, size_}; }
    // Some of the bytes could not be had, and were read all the same.
    bool torn() const;

private:
    MappedWindow(std::byte* begin, std::size_t size, std::size_t place)
        : begin_(begin), size_(size), place_(place) {}

    std::byte* begin_ = nullptr;
    std::size_t size_ = 0;
    std::size_t place_ = 0;  // among those that are watched
};

}  // namespace mastline
