// SPDX-License-Identifier: Apache-2.0
#include "tools/rehearse/play/mapped_file.hpp"

#include <fcntl.h>
#include <sys/mman.h>
#include <sys/stat.h>

#include <cerrno>
#include <system_error>

#include "tools/rehearse/send/descriptor.hpp"

namespace mastline {

MappedFile::MappedFile(const std::string& name) {
    const OpenDescriptor file(::open(name.c_str(), O_RDONLY | O_CLOEXEC));
    struct stat status {};
    if (file.get() < 0 || ::fstat(file.get(), &status) != 0)
        throw std::system_error(errno, std::generic_category(), name);
    const auto size = static_cast<std::size_t>(status.st_size);
    if (size == 0) return;
    void* const address = ::mmap(nullptr, size, PROT_READ, MAP_PRIVATE, file.get(), 0);
    if (address == MAP_FAILED) throw std::system_error(errno, std::generic_category(), name);
    address_ = address;
    bytes_ = ByteView(static_cast<const std::byte*>(address), size);
}

MappedFile::~MappedFile() {
    if (address_ != nullptr) ::munmap(address_, bytes_.size());
}

}  // namespace mastline
