// SPDX-License-Identifier: Apache-2.0
#include "probe/flow/flow_table.hpp"

using namespace mastline;

namespace flow_table_test {

namespace {

Destination numbered(unsigned n) {
    const std::uint32_t group = 0xEF010000U + n / 3;
    const UdpPort port{static_cast<std::uint16_t>(5000 + n % 3)};
    if (n % 2 == 0) return {IpAddress::v4(group), port};
    std::array<std::uint8_t, 16> six{0xFF, 0x3E};  // RFC 4291
    for (std::size_t i = 0; i < 4; ++i) six[12 + i] = static_cast<std::uint8_t>(group >> (24 - 8 * i));
    return {IpAddress::v6(six), port};
}

}  // namespace

TEST_CASE("every flow is found where it was put, also when the table has grown", "[unit]") {
    FlowTable table;
    std::vector<FlowMonitor*> put;
    for (unsigned n = 0; n < 3000; ++n) {
        REQUIRE(table.find(numbered(n)) == nullptr);
        put.push_back(&table.add(numbered(n), FlowMonitor(numbered(n))));
    }
    std::size_t right = 0;
    for (unsigned n = 0; n < 3000; ++n) right += table.find(numbered(n)) == put[n] ? 1 : 0;
    CHECK(right == 3000);
    CHECK(table.find(numbered(3000)) == nullptr);
    CHECK(table.size() == 3000);
    CHECK(put[17]->observe().destination == numbered(17));
}

}  // namespace flow_table_test
