// SPDX-License-Identifier: Apache-2.0
// What the sandbox of the decoder leaves and what it ends.
#include <catch2/catch.hpp>

#include <signal.h>

#include "support/paths.hpp"
#include "support/run_command.hpp"

using namespace mastline::test;

namespace sandbox_test {

namespace {

CommandResult done(const std::string& deed) { return run_command("exec " MASTLINE_BINARY_DIR "/tests/still/sandbox_deed " + deed); }

}  // namespace

TEST_CASE("in the sandbox of the decoder memory can be taken, up to a bound, and the answer written", "[unit]") {
    CHECK(done("memory").status == 0);
    CHECK(done("too-much-memory").status == 1);
    const auto answer = done("answer");
    CHECK(answer.status == 0);
    CHECK(answer.output == "yes");
    CHECK(done("no-such-deed").status == 2);
}

TEST_CASE("whatever else the decoder asks of the system ends it", "[unit]") {
    for (const std::string deed : {"open", "socket", "local-socket", "program", "child", "signal", "write-elsewhere", "read-elsewhere", "descriptor",
                                   "limits", "executable-memory", "memory-made-executable"}) {
        INFO(deed);
        CHECK(done(deed).status == 128 + SIGSYS);
    }
}

}  // namespace sandbox_test
