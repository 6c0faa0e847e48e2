// SPDX-License-Identifier: Apache-2.0
// What the sandbox of the decoder leaves and what it ends, tried in a child.
#include <catch2/catch.hpp>

#include <fcntl.h>
#include <signal.h>
#include <sys/mman.h>
#include <sys/resource.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

#include <functional>

#include "probe/still/worker/sandbox.hpp"

namespace sandbox_test {

namespace {

constexpr int kEntered = 40, kNotEntered = 41, kDidNot = 42;

// How a child ends that enters the sandbox, does something and then leaves with kEntered.
int fate_of(const std::function<bool()>& deed) {
    const pid_t child = ::fork();
    if (child < 0) throw std::runtime_error("no child");
    if (child == 0) {
        if (!mastline::enter_sandbox()) ::_exit(kNotEntered);
        ::_exit(deed() ? kEntered : kDidNot);
    }
    int status = 0;
    ::waitpid(child, &status, 0);
    return status;
}

}  // namespace

TEST_CASE("in the sandbox of the decoder memory can be taken and the answer written", "[unit]") {
    const int status = fate_of([] {
        void* memory = ::mmap(nullptr, 1 << 20, PROT_READ | PROT_WRITE, MAP_PRIVATE | MAP_ANONYMOUS, -1, 0);
        return memory != MAP_FAILED && ::munmap(memory, 1 << 20) == 0 && ::write(STDOUT_FILENO, "", 0) == 0;
    });
    REQUIRE(WIFEXITED(status));
    CHECK(WEXITSTATUS(status) == kEntered);
}

TEST_CASE("whatever else the decoder asks of the system ends it", "[unit]") {
    const std::vector<std::pair<std::string, std::function<bool()>>> deeds{
        {"open a file", [] { return ::open("/etc/hostname", O_RDONLY) >= 0; }},
        {"a socket", [] { return ::socket(AF_INET, SOCK_DGRAM, 0) >= 0; }},
        {"a Unix socket", [] { return ::socket(AF_UNIX, SOCK_STREAM, 0) >= 0; }},
        {"another program", [] { return ::execl("/bin/true", "true", nullptr) == 0; }},
        {"a child", [] { return ::fork() >= 0; }},
        {"a signal to its parent", [] { return ::kill(::getppid(), 0) == 0; }},
        {"write elsewhere", [] { return ::write(STDERR_FILENO, "", 0) == 0; }},
        {"read elsewhere", [] { return ::read(STDERR_FILENO, nullptr, 0) == 0; }},
        {"a second descriptor", [] { return ::dup(STDOUT_FILENO) >= 0; }},
        {"more memory than it may", [] { const rlimit all{RLIM_INFINITY, RLIM_INFINITY}; return ::setrlimit(RLIMIT_AS, &all) == 0; }},
        {"memory that can be executed", [] { return ::mmap(nullptr, 4096, PROT_READ | PROT_EXEC, MAP_PRIVATE | MAP_ANONYMOUS, -1, 0) != MAP_FAILED; }},
        {"memory made executable", [] {
             void* memory = ::mmap(nullptr, 4096, PROT_READ | PROT_WRITE, MAP_PRIVATE | MAP_ANONYMOUS, -1, 0);
             return ::mprotect(memory, 4096, PROT_READ | PROT_EXEC) == 0;
         }}};
    for (const auto& [name, deed] : deeds) {
        INFO(name);
        const int status = fate_of(deed);
        REQUIRE(WIFSIGNALED(status));
        CHECK(WTERMSIG(status) == SIGSYS);
    }
}

}  // namespace sandbox_test
