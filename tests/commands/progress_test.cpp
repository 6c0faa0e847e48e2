// SPDX-License-Identifier: Apache-2.0
#include "probe/commands/progress.hpp"

#include <catch2/catch.hpp>

using namespace mastline;
using namespace std::chrono_literals;

TEST_CASE("progress tells what has passed and what is left, and never is wider than the terminal", "[unit]") {
    CHECK(progress_line(4400ms, 10s, 1200, 80) == "[#################.......................] 4 of 10 s, 6 s left, 1200 datagrams");
    CHECK(progress_line(0s, 10s, 0, 80).find(" 0 of 10 s, 10 s left, 0 datagrams") != std::string::npos);
    CHECK(progress_line(11s, 10s, 7, 80).find(" 10 of 10 s, 0 s left, 7 datagrams") != std::string::npos);
    for (const std::size_t width : {40U, 60U, 160U})
        for (const auto done : {0s, 59s, 120s}) CHECK(progress_line(done, 120s, 123456789012U, width).size() < width);
}
