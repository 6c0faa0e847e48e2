// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "planner/plan/content_hash.hpp"

using namespace mastline;

// Test vectors of RFC 9923 (FNV-1a, 64 bits, without the closing zero byte); from memory.
TEST_CASE("the hash of a plan's content is FNV-1a of 64 bits", "[outside]") {
    CHECK(content_hash("") == 0xCBF29CE484222325);
    CHECK(content_hash("a") == 0xAF63DC4C8601EC8C);
    CHECK(content_hash("foobar") == 0x85944171F73967E8);
}

TEST_CASE("a hash is written with all of its 16 digits", "[unit]") {
    CHECK(hash_text(0xCBF29CE484222325) == "cbf29ce484222325");
    CHECK(hash_text(0x1F) == "000000000000001f");
    CHECK(hash_text(0) == "0000000000000000");
}
