// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "mastline/still/still_reply.hpp"
#include "support/ts_builder.hpp"

using namespace mastline;
using namespace mastline::test;

TEST_CASE("of what a decoder answers only pixels of the size that it tells are taken", "[input]") {
    const auto reply = [](unsigned width, unsigned height, std::size_t size) {
        Bytes out;
        append_u16(out, width);
        append_u16(out, height);
        out.resize(4 + size, std::byte{0x3C});
        return parse_still_reply(out).has_value();
    };
    CHECK(reply(256, 144, 256 * 144 * 3));
    CHECK(reply(1, 1, 3));
    CHECK_FALSE(reply(257, 144, 257 * 144 * 3));
    CHECK_FALSE(reply(256, 145, 256 * 145 * 3));
    CHECK_FALSE(reply(256, 144, 256 * 144 * 3 - 1));
    CHECK_FALSE(reply(256, 144, 256 * 144 * 3 + 1));
    CHECK_FALSE(reply(0, 144, 0));
    CHECK_FALSE(reply(256, 0, 0));
    CHECK_FALSE(reply(65535, 65535, 100));
    CHECK_FALSE(parse_still_reply(bytes_of({1, 0, 0})));
    CHECK_FALSE(parse_still_reply({}));
}
