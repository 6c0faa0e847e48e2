// SPDX-License-Identifier: Apache-2.0
// sandbox_deed DEED: enters the sandbox of the decoder and does one thing. Exit status 0: it could; 1: the system
// said no; 2: no such deed; 3: no sandbox. A program of its own, without sanitizers, which the sandbox leaves no room.
#include <fcntl.h>
#include <signal.h>
#include <sys/mman.h>
#include <sys/resource.h>
#include <sys/socket.h>
#include <unistd.h>

#include <string_view>

#include "probe/still/worker/sandbox.hpp"

namespace {

struct Deed {
    std::string_view name;
    bool (*does)();
};

void* mapped(int protection) { return ::mmap(nullptr, 1 << 20, protection, MAP_PRIVATE | MAP_ANONYMOUS, -1, 0); }

constexpr Deed kDeeds[] = {
    {"memory", [] { return ::munmap(mapped(PROT_READ | PROT_WRITE), 1 << 20) == 0; }},
    {"answer", [] { return ::write(STDOUT_FILENO, "yes", 3) == 3; }},
    {"open", [] { return ::open("/etc/hostname", O_RDONLY) >= 0; }},
    {"socket", [] { return ::socket(AF_INET, SOCK_DGRAM, 0) >= 0; }},
    {"local-socket", [] { return ::socket(AF_UNIX, SOCK_STREAM, 0) >= 0; }},
    {"program", [] { return ::execl("/bin/true", "true", nullptr) == 0; }},
    {"child", [] { return ::fork() >= 0; }},
    {"signal", [] { return ::kill(::getppid(), 0) == 0; }},
    {"write-elsewhere", [] { return ::write(STDERR_FILENO, "", 0) == 0; }},
    {"read-elsewhere", [] { return ::read(STDERR_FILENO, nullptr, 0) == 0; }},
    {"descriptor", [] { return ::dup(STDOUT_FILENO) >= 0; }},
    {"limits", [] { const rlimit all{RLIM_INFINITY, RLIM_INFINITY}; return ::setrlimit(RLIMIT_AS, &all) == 0; }},
    {"executable-memory", [] { return mapped(PROT_READ | PROT_EXEC) != MAP_FAILED; }},
    {"memory-made-executable", [] { return ::mprotect(mapped(PROT_READ | PROT_WRITE), 4096, PROT_READ | PROT_EXEC) == 0; }},
    {"too-much-memory", [] { return ::mmap(nullptr, std::size_t{2} << 30, PROT_READ, MAP_PRIVATE | MAP_ANONYMOUS, -1, 0) != MAP_FAILED; }},
};

}  // namespace

int main(int argc, char** argv) {
    for (const auto& deed : kDeeds) {
        if (argc != 2 || deed.name != argv[1]) continue;
        if (!mastline::enter_sandbox()) ::_exit(3);
        ::_exit(deed.does() ? 0 : 1);
    }
    return 2;
}
