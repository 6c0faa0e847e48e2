// SPDX-License-Identifier: Apache-2.0
#include "mastline/igmp/membership.hpp"

using namespace mastline;
using namespace std::chrono_literals;

namespace {

std::vector<std::byte> bytes(std::initializer_list<int> values) {
    std::vector<std::byte> out;
    for (const int v : values) out.push_back(static_cast<std::byte>(v));
    return out;
}

IpPacket igmp(ByteView message, std::uint32_t source = 0x0A140001, Duration at = 0s) {
    IpPacket out;
    out.protocol = kProtocolIgmp;
    out.payload = message;
    out.source = IpAddress::v4(source);
    out.arrival = at;
    return out;
}

IpPacket mld(ByteView message) {
    IpPacket out = igmp(message);
    out.protocol = kProtocolIcmpV6;
    out.source = *parse_ip_address("fe80::1");
    return out;
}

Group group(std::string_view text) { return *parse_group(text); }

}  // namespace

TEST_CASE("the version of an IGMP query is told by its length and code", "[outside]") {
    // RFC 3376 section 7.1: 8 octets and code 0 is version 1, 8 and another code 2, 12 and more 3.
    const auto one = parse_membership(igmp(bytes({0x11, 0, 0, 0, 0, 0, 0, 0})));
    CHECK(one->version == 1);
    CHECK(one->max_response == 10s);  // RFC 2236 section 4
    const auto two = parse_membership(igmp(bytes({0x11, 100, 0, 0, 0, 0, 0, 0})));
    CHECK(two->version == 2);
    CHECK(two->max_response == 10s);
    CHECK_FALSE(two->group);
    const auto three = parse_membership(igmp(bytes({0x11, 100, 0, 0, 0, 0, 0, 0, 2, 125, 0, 0})));
    CHECK(three->version == 3);
    CHECK(three->robustness == 2);
    CHECK(three->query_interval == 125s);
}

TEST_CASE("codes from 128 on are floating point", "[outside]") {
    // RFC 3376 section 4.1.1: (mant | 0x10) << (exp + 3); 0x80 is 128, 0xFF is 31744 tenths.
    const auto low = parse_membership(igmp(bytes({0x11, 0x80, 0, 0, 0, 0, 0, 0, 2, 0x80, 0, 0})));
    CHECK(low->max_response == 12'800ms);
    CHECK(low->query_interval == 128s);
    const auto high = parse_membership(igmp(bytes({0x11, 0xFF, 0, 0, 0, 0, 0, 0, 2, 0xFF, 0, 0})));
    CHECK(high->max_response == 3'174'400ms);
    CHECK(high->query_interval == 31'744s);
}

TEST_CASE("reports and leaves of IGMP versions 1 and 2 name their group", "[unit]") {
    const auto one = parse_membership(igmp(bytes({0x12, 0, 0, 0, 239, 1, 2, 3})));
    CHECK(one->kind == MembershipKind::report);
    CHECK(one->version == 1);
    CHECK(one->group == group("239.1.2.3"));
    CHECK(parse_membership(igmp(bytes({0x16, 0, 0, 0, 239, 1, 2, 3})))->version == 2);
    CHECK(parse_membership(igmp(bytes({0x17, 0, 0, 0, 239, 1, 2, 3})))->kind == MembershipKind::leave);
}

TEST_CASE("an IGMPv3 report lists its records with their sources", "[unit]") {
    const auto report = parse_membership(igmp(bytes({0x22, 0, 0, 0, 0, 0, 0, 2,
                                                     4, 0, 0, 0, 239, 1, 2, 3,
                                                     3, 0, 0, 1, 232, 1, 2, 3, 10, 0, 0, 7})));
    REQUIRE(report);
    REQUIRE(report->records.size() == 2);
    CHECK(report->records[0] == GroupRecord{4, group("239.1.2.3"), {}});
    CHECK(report->records[1] == GroupRecord{3, group("232.1.2.3"), {IpAddress::v4(0x0A000007)}});
}

TEST_CASE("MLD messages of both versions are read", "[unit]") {
    std::vector<std::byte> query = bytes({130, 0, 0, 0, 0x27, 0x10, 0, 0});
    query.resize(24);
    CHECK(parse_membership(mld(query))->version == 1);
    CHECK(parse_membership(mld(query))->max_response == 10s);
    query.resize(28);
    query[24] = std::byte{2};
    query[25] = std::byte{125};
    CHECK(parse_membership(mld(query))->version == 2);
    CHECK(parse_membership(mld(query))->query_interval == 125s);
    auto report = bytes({143, 0, 0, 0, 0, 0, 0, 1, 4, 0, 0, 0, 0xFF, 0x15});
    report.resize(8 + 20);
    report.back() = std::byte{9};
    CHECK(parse_membership(mld(report))->records.front().group == group("ff15::9"));
}

TEST_CASE("membership messages that are cut short or name no group are refused", "[input]") {
    CHECK(parse_membership(igmp(bytes({0x11, 1, 0}))).error().reason == "IGMP message is cut short");
    CHECK(parse_membership(igmp(bytes({0x99, 1, 0, 0, 0, 0, 0, 0}))).error().reason == "IGMP type is unknown");
    CHECK(parse_membership(igmp(bytes({0x16, 0, 0, 0, 10, 1, 2, 3}))).error().reason ==
          "the group address is no multicast group");
    CHECK(parse_membership(igmp(bytes({0x11, 1, 0, 0, 0, 0, 0, 0, 2, 125, 0, 9}))).error().reason ==
          "fewer sources than announced");
    CHECK(parse_membership(igmp(bytes({0x22, 0, 0, 0, 0, 0, 0, 1, 4, 0, 0, 9, 239, 1, 2, 3})))
              .error().reason == "a group record is cut short");
    CHECK(parse_membership(mld(bytes({130, 0, 0}))).error().reason == "MLD message is cut short");
}

TEST_CASE("queriers are told by address, with the interval between their queries", "[unit]") {
    MembershipMonitor monitor;
    const auto general = bytes({0x11, 100, 0, 0, 0, 0, 0, 0, 2, 125, 0, 0});
    monitor.packet(igmp(general, 0x0A140001, 5s));
    monitor.packet(igmp(general, 0x0A140001, 130s));
    monitor.packet(igmp(general, 0, 20s));
    const auto specific = bytes({0x11, 10, 0, 0, 239, 1, 2, 3});
    monitor.packet(igmp(specific, 0x0A140001, 131s));
    const auto seen = monitor.observe();
    REQUIRE(seen.queriers.size() == 2);
    CHECK(seen.queriers[0].address.is_unspecified());
    CHECK(seen.queriers[1].queries == 2);
    CHECK(seen.queriers[1].interval == Duration(125s));
    CHECK(seen.queriers[1].version == 3);
    CHECK(seen.queriers[1].robustness == 2);
    CHECK(seen.group_queries.at(IpVersion::v4) == GroupQuery{1s, std::nullopt});
}

TEST_CASE("a query after members of a group tells how soon a group may stop", "[unit]") {
    // RFC 3810 section 5.1: one second, MLDv2, robustness 3; of 0 nothing is told (RFC 3376 section 4.1.6).
    auto query = bytes({130, 0, 0, 0, 0x03, 0xE8, 0, 0, 0xFF, 0x15});
    query.resize(28);
    query[23] = std::byte{9};
    query[24] = std::byte{3};
    MembershipMonitor monitor;
    monitor.packet(mld(query));
    CHECK(monitor.observe().queriers.empty());
    CHECK(monitor.observe().group_queries.at(IpVersion::v6) == GroupQuery{1s, 3});
    query[24] = std::byte{0};
    monitor.packet(mld(query));
    CHECK_FALSE(monitor.observe().group_queries.at(IpVersion::v6).robustness);
}

TEST_CASE("members come and go by reports, records and leaves", "[unit]") {
    MembershipMonitor monitor;
    monitor.packet(igmp(bytes({0x16, 0, 0, 0, 239, 1, 2, 3}), 0x0A140005));
    monitor.packet(igmp(bytes({0x22, 0, 0, 0, 0, 0, 0, 1, 3, 0, 0, 1, 232, 1, 2, 3, 10, 0, 0, 7}), 0x0A140006));
    monitor.packet(igmp(bytes({0x22, 0, 0, 0, 0, 0, 0, 1, 5, 0, 0, 1, 232, 1, 2, 3, 10, 0, 0, 8}), 0x0A140006));
    auto seen = monitor.observe();
    REQUIRE(seen.members.size() == 2);
    CHECK(seen.members[0].group == group("232.1.2.3"));
    CHECK(seen.members[0].sources.size() == 2);
    CHECK_FALSE(seen.members[1].left);
    monitor.packet(igmp(bytes({0x17, 0, 0, 0, 239, 1, 2, 3}), 0x0A140005));
    monitor.packet(igmp(bytes({0x22, 0, 0, 0, 0, 0, 0, 1, 6, 0, 0, 2, 232, 1, 2, 3, 10, 0, 0, 7, 10, 0, 0, 8}), 0x0A140006));
    seen = monitor.observe();
    CHECK(seen.members[0].left);
    CHECK(seen.members[1].left);
}
