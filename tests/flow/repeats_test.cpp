// SPDX-License-Identifier: Apache-2.0
#include "probe/flow/repeats.hpp"

#include <catch2/catch.hpp>

#include "mastline/mpeg/pid.hpp"

using namespace mastline;

namespace repeats_test {

namespace {

// A datagram of seven packets of PID 0x100 from counter `counter` on; `content` fills the payload,
// its number counting up from byte to byte unless it is to be constant.
std::vector<std::byte> datagram(int counter, int content, bool constant = false) {
    std::vector<std::byte> out;
    for (int packet = 0; packet < 7; ++packet) {
        const int header[] = {0x47, 0x01, 0x00, 0x10 | ((counter + packet) & 0x0F)};
        for (const int b : header) out.push_back(static_cast<std::byte>(b));
        for (int i = 4; i < 188; ++i)
            out.push_back(static_cast<std::byte>((constant ? content : content + i) & 0xFF));
    }
    return out;
}

}  // namespace

TEST_CASE("a datagram that comes again is a repeat, also seven datagrams later", "[unit]") {
    Repeats repeats;
    CHECK_FALSE(repeats.add(datagram(0, 1)));
    CHECK(repeats.add(datagram(0, 1)));
    for (int i = 1; i <= 7; ++i) CHECK_FALSE(repeats.add(datagram(7 * i, 1 + i)));
    CHECK(repeats.add(datagram(0, 1)));
}

TEST_CASE("a right stream whose content comes round is not repeated", "[unit]") {
    // Counters run 0 to 15 (ISO/IEC 13818-1, 2.4.3.3): after 16 datagrams of seven they are alike,
    // with fewer packets of the PID in each sooner.
    Repeats repeats;
    for (int i = 0; i < 200; ++i) CHECK_FALSE(repeats.add(datagram(7 * i, 9)));
}

TEST_CASE("a lost datagram of filler does not make the next one a repeat", "[unit]") {
    Repeats repeats;
    for (int i = 0; i < 400; ++i) {
        if (i % 40 == 39) continue;
        CHECK_FALSE(repeats.add(datagram(7 * i, 0xFF, true)));
    }
}

TEST_CASE("filler that comes twice among datagrams that do is repeated too", "[unit]") {
    Repeats repeats;
    int found = 0;
    for (int i = 0; i < 60; ++i)
        for (int copy = 0; copy < 2; ++copy) found += repeats.add(datagram(7 * i, i % 3 == 0 ? i : 0xFF, i % 3 != 0)) ? 1 : 0;
    CHECK(found == 60);
    // From here on none comes twice: after a fresh one, filler that begins again is a loss.
    CHECK_FALSE(repeats.add(datagram(7 * 60, 60)));
    CHECK_FALSE(repeats.add(datagram(7 * 61, 0xFF, true)));
    CHECK_FALSE(repeats.add(datagram(7 * 61, 0xFF, true)));
}

}  // namespace repeats_test
