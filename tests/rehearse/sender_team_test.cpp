// SPDX-License-Identifier: Apache-2.0
#include "tools/rehearse/send/sender_team.hpp"

#include <catch2/catch.hpp>

#include "flows.hpp"

using namespace mastline;
using namespace mastline::test;

TEST_CASE("threads that send grow with the datagrams to be sent, up to the processors", "[unit]") {
    ExpectedLineup lineup;
    CHECK(sender_threads(lineup, 2) == 1);
    lineup.flows.assign(60, television());  // 45,592 datagrams/s
    CHECK(sender_threads(lineup, 8) == 1);
    lineup.flows.assign(400, television());  // 303,951 datagrams/s
    CHECK(sender_threads(lineup, 8) == 4);
    CHECK(sender_threads(lineup, 2) == 2);
    CHECK(sender_threads(lineup, 0) == 1);  // their number is not known
}
