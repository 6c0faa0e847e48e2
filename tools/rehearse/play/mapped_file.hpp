// SPDX-License-Identifier: Apache-2.0
// A file's bytes, read as they are needed.
#pragma once

#include <string>

#include "mastline/bytes/byte_reader.hpp"

namespace mastline {

class MappedFile {
public:
    // Throws std::system_error.
    explicit MappedFile(const std::string& name);
    MappedFile(const MappedFile&) = delete;
    MappedFile& operator=(const MappedFile&) = delete;
    ~MappedFile();
    ByteView bytes() const { return bytes_; }

private:
    void* address_ = nullptr;
    ByteView bytes_;
};

}  // namespace mastline
