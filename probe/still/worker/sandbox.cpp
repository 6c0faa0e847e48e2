// SPDX-License-Identifier: Apache-2.0
#include "sandbox.hpp"

#include <seccomp.h>
#include <sys/mman.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <unistd.h>

#include <array>
#include <initializer_list>

namespace mastline {

namespace {

// Room for the pictures that a decoder of the largest size keeps (16 of 4096 by 2304 in 10 bits: 453 MB),
// and the libraries.
constexpr rlim_t kMostMemory = rlim_t{1} << 30;
constexpr rlim_t kMostSeconds = 5;

bool bound(__rlimit_resource what, rlim_t most) {
    const rlimit limit{most, most};
    return ::setrlimit(what, &limit) == 0;
}

bool bound_resources() {
    return bound(RLIMIT_AS, kMostMemory) && bound(RLIMIT_CPU, kMostSeconds) && bound(RLIMIT_FSIZE, 0) && bound(RLIMIT_CORE, 0) &&
           bound(RLIMIT_NOFILE, 3) && bound(RLIMIT_NPROC, 0) && bound(RLIMIT_MEMLOCK, 0);
}

class Filter {
public:
    Filter() : context_(::seccomp_init(SCMP_ACT_KILL_PROCESS)) {}
    ~Filter() { ::seccomp_release(context_); }
    Filter(const Filter&) = delete;
    Filter& operator=(const Filter&) = delete;

    void allow(int call) { good_ = good_ && ::seccomp_rule_add(context_, SCMP_ACT_ALLOW, call, 0) == 0; }
    void allow(int call, scmp_arg_cmp argument) {
        good_ = good_ && ::seccomp_rule_add_array(context_, SCMP_ACT_ALLOW, call, 1, &argument) == 0;
    }
    bool load() { return good_ && ::seccomp_load(context_) == 0; }

private:
    scmp_filter_ctx context_;
    bool good_ = context_ != nullptr;
};

bool filter_calls() {
    const auto is = [](unsigned argument, scmp_datum_t value) { return scmp_arg_cmp{argument, SCMP_CMP_EQ, value, 0}; };
    const auto not_executable = [](unsigned argument) { return scmp_arg_cmp{argument, SCMP_CMP_MASKED_EQ, PROT_EXEC, 0}; };
    Filter filter;
    filter.allow(SCMP_SYS(read), is(0, STDIN_FILENO));
    filter.allow(SCMP_SYS(write), is(0, STDOUT_FILENO));
    filter.allow(SCMP_SYS(mmap), not_executable(2));
    filter.allow(SCMP_SYS(mprotect), not_executable(2));
    for (const int call : {SCMP_SYS(munmap), SCMP_SYS(mremap), SCMP_SYS(brk), SCMP_SYS(madvise), SCMP_SYS(futex), SCMP_SYS(clock_gettime),
                           SCMP_SYS(rt_sigreturn), SCMP_SYS(exit), SCMP_SYS(exit_group)})
        filter.allow(call);
    return filter.load();
}

}  // namespace

bool enter_sandbox() {
    return ::prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0) == 0 && ::prctl(PR_SET_DUMPABLE, 0, 0, 0, 0) == 0 && bound_resources() && filter_calls();
}

}  // namespace mastline
