// SPDX-License-Identifier: Apache-2.0
// Bytes of a file from front to back; gzip and Zstandard are unpacked on the way.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>

#include "mastline/bytes/byte_reader.hpp"

namespace mastline {

class ByteInput {
public:
    virtual ~ByteInput() = default;
    // Fills `into`; fewer bytes only at the end. Throws std::system_error when the machine refuses.
    virtual std::size_t read(std::span<std::byte> into) = 0;
    // At least `count` bytes from byte `from` on where they stand, fewer only at the end; valid until
    // the next call. None when they have to be read; the first call tells for all.
    virtual std::optional<ByteView> in_place(std::uint64_t from, std::size_t count) {
        static_cast<void>(from), static_cast<void>(count);
        return std::nullopt;
    }
    // Why the bytes ended before they should have; empty when they did not.
    virtual std::string damage() const { return {}; }
};

// "-" is standard input. Throws std::system_error when the file cannot be opened or is a folder.
std::unique_ptr<ByteInput> open_input(const std::string& path);

}  // namespace mastline
