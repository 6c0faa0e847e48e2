// SPDX-License-Identifier: Apache-2.0
#include "mastline/verdict/latency.hpp"
#include "mastline/verdict/querier.hpp"

using namespace mastline;
using namespace std::chrono_literals;

namespace {

QuerierObservation querier(std::string_view address, std::uint64_t queries) {
    QuerierObservation out;
    out.address = *parse_ip_address(address);
    out.version = 3;
    out.queries = queries;
    if (queries > 1) out.interval = 125s;
    out.last = 299s;
    return out;
}

Watch of(Duration length) { return {0s, length}; }

}  // namespace

TEST_CASE("one querier is right and told with version and interval", "[unit]") {
    const auto check = judge_querier({querier("10.0.0.1", 3)}, IpVersion::v4, of(300s));
    CHECK(check.outcome == Outcome::passed);
    CHECK(check.found == "10.0.0.1 IGMPv3 every 125.0 s");
}

TEST_CASE("no query is a fault only once the querier would be given up", "[outside]") {
    // RFC 3376 section 8.5: Other Querier Present Interval, 2 * 125 s + 10 s / 2 = 255 s.
    CHECK(judge_querier({}, IpVersion::v4, of(254s)).outcome == Outcome::not_judged);
    CHECK(judge_querier({}, IpVersion::v4, of(255s)).outcome == Outcome::failed);
}

TEST_CASE("two that go on asking are a fault, a stand-in at 0.0.0.0 a note", "[unit]") {
    CHECK(judge_querier({querier("10.0.0.1", 3), querier("10.0.0.2", 2)}, IpVersion::v4, of(300s)).outcome ==
          Outcome::failed);
    CHECK(judge_querier({querier("10.0.0.1", 3), querier("10.0.0.2", 1)}, IpVersion::v4, of(300s)).outcome ==
          Outcome::noted);
    CHECK(judge_querier({querier("0.0.0.0", 3)}, IpVersion::v4, of(300s)).outcome == Outcome::noted);
    CHECK(judge_querier({querier("0.0.0.0", 3), querier("10.0.0.2", 3)}, IpVersion::v4, of(300s)).outcome ==
          Outcome::passed);
}

TEST_CASE("a querier that has fallen silent is lost, by the times it states itself", "[outside]") {
    // RFC 3376 section 8.5: robustness 2 times its interval, and half its response interval.
    auto q = querier("10.0.0.1", 3);
    q.told_interval = 5s;
    q.max_response = 1s;
    q.last = 20s;
    CHECK(judge_querier({q}, IpVersion::v4, of(30500ms)).outcome == Outcome::passed);
    const auto check = judge_querier({q}, IpVersion::v4, of(30501ms));
    CHECK(check.outcome == Outcome::failed);
    CHECK(check.evidence.find("lost") != std::string::npos);
    q.robustness = 3;
    CHECK(judge_querier({q}, IpVersion::v4, of(35500ms)).outcome == Outcome::passed);
    CHECK(judge_querier({q}, IpVersion::v4, of(35501ms)).outcome == Outcome::failed);
    q.robustness.reset();
    auto other = querier("10.0.0.2", 1);  // took over
    other.last = 29s;
    CHECK(judge_querier({q, other}, IpVersion::v4, of(30501ms)).outcome != Outcome::failed);
}

TEST_CASE("how long a group may go on after a leave is what the queries on the wire state", "[outside]") {
    // RFC 3376 section 8.8, RFC 3810 section 9.8: by default 1 s, twice; here half a second on top.
    MembershipObservation seen;
    CHECK(leave_limit(seen, IpVersion::v4) == 2500ms);
    seen.group_queries[IpVersion::v4] = {100ms, 4};
    CHECK(leave_limit(seen, IpVersion::v4) == 900ms);
    CHECK(leave_limit(seen, IpVersion::v6) == 2500ms);
    // IGMPv2 states no robustness; what the querier stated otherwise holds.
    auto q = querier("10.0.0.1", 2);
    q.robustness = 5;
    seen.queriers = {q};
    seen.group_queries[IpVersion::v4] = {1s, std::nullopt};
    CHECK(leave_limit(seen, IpVersion::v4) == 5500ms);
}
