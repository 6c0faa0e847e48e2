// SPDX-License-Identifier: Apache-2.0
#include "mastline/network/query_codes.hpp"

#include <catch2/catch.hpp>

using namespace mastline;
using std::chrono::milliseconds;
using std::chrono::seconds;

namespace query_codes_test {

namespace {

// What a byte says in units: RFC 3376 sections 4.1.1 and 4.1.7.
std::int64_t by_rfc3376(unsigned code) {
    return code < 128 ? code : static_cast<std::int64_t>(((code & 0xF) | 0x10) << (((code >> 4) & 7) + 3));
}

// What 16 bits say in milliseconds: RFC 3810 section 5.1.3.
std::int64_t by_rfc3810(unsigned code) {
    return code < 32768 ? code : static_cast<std::int64_t>(((code & 0xFFF) | 0x1000) << (((code >> 12) & 7) + 3));
}

// Each code says what it says; a time before the next code is said by the one below.
template <class Code>
void require_all(const QueryField& field, Duration unit, unsigned codes, Code says) {
    for (unsigned code = 0; code < codes; ++code) {
        INFO("code " << code);
        REQUIRE(said_by(field, unit * says(code)) == unit * says(code));
        if (code + 1 < codes) REQUIRE(said_by(field, unit * says(code + 1) - Duration(1)) == unit * says(code));
    }
    CHECK(said_by(field, Duration::max()) == unit * says(codes - 1));
}

}  // namespace

TEST_CASE("a time is said by the greatest code that is not above it", "[outside]") {
    const auto itself = [](unsigned code) { return static_cast<std::int64_t>(code); };
    require_all(kIgmp2Response, milliseconds(100), 256, itself);  // RFC 2236 section 2.2
    require_all(kIgmp3Response, milliseconds(100), 256, by_rfc3376);
    require_all(kQueryInterval, seconds(1), 256, by_rfc3376);
    require_all(kMld1Response, milliseconds(1), 65536, itself);   // RFC 2710 section 3.4
    require_all(kMld2Response, milliseconds(1), 65536, by_rfc3810);
}

}  // namespace query_codes_test
