// SPDX-License-Identifier: Apache-2.0
// A file descriptor with an owner.
#pragma once

#include <unistd.h>

#include <utility>

namespace mastline {

class OpenDescriptor {
public:
    OpenDescriptor() = default;
    explicit OpenDescriptor(int fd) : fd_(fd) {}
    OpenDescriptor(OpenDescriptor&& other) noexcept : fd_(std::exchange(other.fd_, -1)) {}
    OpenDescriptor& operator=(OpenDescriptor&& other) noexcept {
        std::swap(fd_, other.fd_);
        return *this;
    }
    ~OpenDescriptor() {
        if (fd_ >= 0) ::close(fd_);
    }
    int get() const { return fd_; }

private:
    int fd_ = -1;
};

}  // namespace mastline
