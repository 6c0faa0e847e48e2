// SPDX-License-Identifier: Apache-2.0
#include "planner/addressing/group_rules.hpp"

#include <catch2/catch.hpp>
#include <map>

#include "support/lineup_stub.hpp"

using namespace mastline;
using test::range;
using Strings = std::vector<std::string>;

namespace {

// "error addressing.control-block", ... of the rules that one group breaks.
Strings broken(std::string_view group, const AddressingPolicy& policy = {}) {
    Strings out;
    for (const auto& rule : rules_touching(span_of(range(group)), policy))
        out.push_back(std::string(to_text(rule.severity)) + " " + rule.id.substr(11));
    return out;
}

}  // namespace

TEST_CASE("IPv4 groups are judged by their block", "[outside]") {
    // RFC 5771 sections 4 to 10.
    CHECK(broken("224.0.0.251") == Strings{"error control-block", "error control-mac"});
    CHECK(broken("224.0.1.1") == Strings{"error control-block"});
    CHECK(broken("224.0.2.1") == Strings{"warning assigned-block"});
    CHECK(broken("224.1.1.1") == Strings{"error reserved-block"});
    CHECK(broken("224.2.1.1") == Strings{"warning assigned-block"});
    CHECK(broken("224.4.255.255") == Strings{"warning assigned-block"});
    CHECK(broken("224.5.0.1") == Strings{"error reserved-block"});
    CHECK(broken("231.255.255.255") == Strings{"error reserved-block"});
    CHECK(broken("233.251.255.255") == Strings{"note foreign-glop"});
    CHECK(broken("233.252.1.0") == Strings{"warning assigned-block"});
    CHECK(broken("233.255.255.255") == Strings{"warning assigned-block"});
    // RFC 6676 section 2: MCAST-TEST-NET.
    CHECK(broken("233.252.0.0") == Strings{"warning documentation-block"});
    CHECK(broken("233.252.0.255") == Strings{"warning documentation-block"});
    CHECK(broken("235.1.1.1") == Strings{"error reserved-block"});
    CHECK(broken("238.255.255.255") == Strings{"error reserved-block"});
    CHECK(broken("239.192.10.20").empty());
    CHECK(broken("239.255.0.1").empty());
}

TEST_CASE("every IPv4 block is judged alike from its first group to its last", "[outside]") {
    // RFC 5771 sections 3 to 10, RFC 6676 section 2, RFC 3180 section 2, RFC 6034 section 2, RFC 2365
    // section 6; of x.0.0.0/24 and x.128.0.0/24 RFC 4541 section 2.1.2.
    struct Edge {
        const char* group;
        Strings rules;
    };
    const Strings assigned{"warning assigned-block"}, reserved{"error reserved-block"}, relative{"error relative-block"};
    for (const auto& [group, rules] : std::initializer_list<Edge>{
             {"224.0.0.0", {"error control-block", "error control-mac"}},
             {"224.0.0.255", {"error control-block", "error control-mac"}},
             {"224.0.1.0", {"error control-block"}}, {"224.0.1.255", {"error control-block"}},
             {"224.0.2.0", assigned}, {"224.0.255.255", assigned},
             {"224.1.0.0", reserved}, {"224.1.255.255", reserved},
             {"224.2.0.0", assigned}, {"224.2.255.255", assigned},
             {"224.3.0.0", assigned}, {"224.4.255.255", assigned},
             {"224.5.0.0", reserved}, {"231.255.255.255", reserved},
             {"232.0.1.0", {"error source-needed"}}, {"232.255.255.255", {"error source-needed"}},
             {"233.0.0.0", {"note foreign-glop", "error control-mac"}}, {"233.251.255.255", {"note foreign-glop"}},
             {"233.252.0.0", {"warning documentation-block"}}, {"233.252.0.255", {"warning documentation-block"}},
             {"233.252.1.0", assigned}, {"233.255.255.255", assigned},
             {"234.0.0.0", {"note foreign-prefix", "error control-mac"}}, {"234.255.255.255", {"note foreign-prefix"}},
             {"235.0.0.0", {"error reserved-block", "error control-mac"}}, {"238.255.255.255", reserved},
             {"239.0.0.255", {"error control-mac"}}, {"239.0.1.0", {}},
             {"239.127.255.255", {}}, {"239.128.0.0", {"error control-mac"}},
             {"239.195.254.255", {}}, {"239.195.255.0", relative}, {"239.195.255.255", relative}, {"239.196.0.0", {}},
             {"239.255.254.255", {}}, {"239.255.255.0", relative}, {"239.255.255.255", relative}}) {
        INFO(group);
        CHECK(broken(group) == rules);
    }
}

TEST_CASE("the last 256 groups of a scope are kept for relative use", "[outside]") {
    // RFC 2365 section 9: "The high order /24 in every scoped region is reserved".
    CHECK(broken("239.255.255.7") == Strings{"error relative-block"});
    CHECK(broken("239.255.254.255").empty());
    CHECK(broken("239.195.255.0") == Strings{"error relative-block"});
    CHECK(broken("239.194.255.0").empty());
    // The scope that RFC 2974 section 3 takes as its example.
    AddressingPolicy policy;
    policy.scopes.push_back(range("239.16.32.0-239.16.33.255"));
    CHECK(broken("239.16.33.9", policy) == Strings{"error relative-block"});
    CHECK(broken("239.16.32.9", policy).empty());
}

TEST_CASE("groups that map to the addresses of control traffic are ruled out", "[outside]") {
    // RFC 1112 section 6.4: 239.0.0.1 and 239.128.0.1 share 01:00:5e:00:00:01 with 224.0.0.1.
    CHECK(broken("239.0.0.1") == Strings{"error control-mac"});
    CHECK(broken("239.128.0.255") == Strings{"error control-mac"});
    CHECK(broken("239.128.1.0").empty());
    CHECK(broken("239.127.0.1").empty());
}

TEST_CASE("source-specific groups need sources", "[outside]") {
    AddressingPolicy policy;
    CHECK(broken("232.1.2.3", policy) == Strings{"error source-needed"});
    policy.source_specific = true;
    CHECK(broken("232.1.2.3", policy).empty());
    CHECK(broken("232.0.0.255", policy) == Strings{"error reserved-block", "error control-mac"});  // RFC 4607 section 1
    CHECK(broken("232.0.1.0", policy).empty());
    CHECK(broken("232.255.255.255", policy).empty());
    // RFC 4607 section 1: 232.0.0.0/24 is reserved.
    CHECK(broken("232.0.0.7", policy) == Strings{"error reserved-block", "error control-mac"});
    CHECK(broken("239.1.2.3", policy) == Strings{"note source-specific-elsewhere"});
}

TEST_CASE("a GLOP group belongs to the AS number in its middle bytes", "[outside]") {
    // RFC 3180 section 3: AS 5662 has 233.22.30.0/24.
    AddressingPolicy policy;
    CHECK(broken("233.22.30.9", policy) == Strings{"note foreign-glop"});
    policy.as_number = 5662;
    CHECK(broken("233.22.30.9", policy).empty());
    CHECK(broken("233.22.31.9", policy) == Strings{"note foreign-glop"});
    policy.as_number = 64496;  // documentation: 233.251.240.0/24
    CHECK(broken("233.251.240.255", policy).empty());
}

TEST_CASE("a group of 234/8 belongs to the unicast prefix in its last bytes", "[outside]") {
    // RFC 6034 section 3: 192.0.2.0/24 has 234.192.0.2.
    AddressingPolicy policy;
    CHECK(broken("234.192.0.2", policy) == Strings{"note foreign-prefix"});
    policy.own_prefixes.push_back(*parse_ip_prefix("192.0.2.0/24"));
    CHECK(broken("234.192.0.2", policy).empty());
    CHECK(broken("234.192.0.3", policy) == Strings{"note foreign-prefix"});
    policy.own_prefixes.push_back(*parse_ip_prefix("198.51.0.0/16"));
    CHECK(broken("234.198.51.100", policy).empty());  // eight bits of group id are left
}

TEST_CASE("IPv6 groups are judged by flags, scope and group id", "[outside]") {
    CHECK(broken("ff15::8000:101").empty());
    // RFC 4291 section 2.7, RFC 7346 section 2.
    CHECK(broken("ff02::1") == Strings{"error ipv6-flags", "warning ipv6-scope", "error control-mac"});
    CHECK(broken("ff11::8000:1") == Strings{"error ipv6-scope"});
    CHECK(broken("ff10::8000:1") == Strings{"error ipv6-scope"});
    CHECK(broken("ff1f::8000:1") == Strings{"error ipv6-scope"});
    CHECK(broken("ff12::8000:1") == Strings{"warning ipv6-scope"});
    CHECK(broken("ff19::8000:1") == Strings{"note ipv6-scope"});
    CHECK(broken("ff95::8000:1") == Strings{"error ipv6-flags"});
    CHECK(broken("ff55::8000:1") == Strings{"error ipv6-flags"});  // RFC 3956: R needs P and T
    // RFC 3307 section 4.3: dynamic group ids start at 0x80000000.
    CHECK(broken("ff15::db8:1234") == Strings{"error group-id"});
    CHECK(broken("ff15::7fff:ffff") == Strings{"error group-id"});
    // RFC 2464 section 7 and RFC 4861 section 2.3: 33:33:ff is for neighbour discovery.
    CHECK(broken("ff15::ff00:1") == Strings{"error control-mac"});
    CHECK(broken("ff15::feff:ffff").empty());
}

TEST_CASE("every IPv6 flag, scope and block of group ids is judged alike from first to last", "[outside]") {
    // RFC 4291 section 2.7 (flags 0RPT), RFC 3306 section 4 (P needs T), RFC 3956 section 4 (R needs P and T).
    AddressingPolicy policy;
    policy.own_prefixes.push_back(*parse_ip_prefix("2001:db8::/32"));
    const auto with_flags = [&](char flags) {
        return broken(std::string("ff") + flags + "5:120:2001:db8::8000:1", policy);
    };
    const Strings bad{"error ipv6-flags"};
    CHECK(with_flags('1').empty());
    CHECK(with_flags('7').empty());
    CHECK(with_flags('3') == Strings{"error ipv6-prefix"});  // nothing but R uses the reserved bits
    for (const char flags : {'0', '4', '5', '8', '9', 'c', 'd', 'f'}) {
        INFO(flags);
        CHECK(with_flags(flags)[0] == bad[0]);
    }
    CHECK(broken("ff35:20:2001:db8::8000:1", policy).empty());
    CHECK(broken("ff25:20:2001:db8::8000:1", policy) == bad);
    CHECK(broken("ff65:120:2001:db8::8000:1", policy)[0] == bad[0]);
    // RFC 7346 section 2, RFC 4291 section 2.7.
    const std::map<char, Strings> of_scope{
        {'0', {"error ipv6-scope"}}, {'1', {"error ipv6-scope"}}, {'2', {"warning ipv6-scope"}}, {'3', {}},
        {'4', {}}, {'5', {}}, {'6', {"note ipv6-scope"}}, {'7', {"note ipv6-scope"}}, {'8', {}},
        {'9', {"note ipv6-scope"}}, {'a', {"note ipv6-scope"}}, {'b', {"note ipv6-scope"}},
        {'c', {"note ipv6-scope"}}, {'d', {"note ipv6-scope"}}, {'e', {}}, {'f', {"error ipv6-scope"}}};
    for (const auto& [scope, rules] : of_scope) {
        INFO(scope);
        CHECK(broken(std::string("ff1") + scope + "::8000:1") == rules);
    }
    // RFC 3307 section 4; RFC 2464 section 7 with RFC 4541 section 3 and RFC 4861 section 2.3.
    for (const auto& [id, rules] : std::initializer_list<std::pair<const char*, Strings>>{
             {"0:0", {"error control-mac"}}, {"0:ff", {"error control-mac"}}, {"0:100", {"error group-id"}},
             {"3fff:ffff", {"error group-id"}}, {"4000:0", {"error group-id"}}, {"7fff:ffff", {"error group-id"}},
             {"8000:0", {}}, {"feff:ffff", {}}, {"ff00:0", {"error control-mac"}},
             {"ffff:ffff", {"error control-mac"}}}) {
        INFO(id);
        CHECK(broken(std::string("ff15::") + id) == rules);
        policy.source_specific = true;  // RFC 4607 section 1: the same ids in ff3x::/96
        CHECK(broken(std::string("ff3e::") + id, policy) == rules);
    }
    // RFC 4607 section 1: ff30::/32 to ff3f::/32, of which RFC 3306 section 6 leaves ff3x::/96.
    policy.source_specific = false;
    for (const char scope : {'4', '5', '8', 'e'}) {
        INFO(scope);
        CHECK(broken(std::string("ff3") + scope + "::8000:0", policy) == Strings{"error source-needed"});
        CHECK(broken(std::string("ff3") + scope + "::feff:ffff", policy) == Strings{"error source-needed"});
    }
    policy.source_specific = true;
    CHECK(broken("ff35:0:1::8000:1", policy) == Strings{"error ipv6-prefix"});
    CHECK(broken("ff35:20:2001:db8::8000:1", policy) == Strings{"note source-specific-elsewhere"});
    CHECK(broken("ff15::8000:1", policy) == Strings{"note source-specific-elsewhere"});
}

TEST_CASE("an IPv6 group with a rendezvous point in it is judged by that", "[outside]") {
    // RFC 3956 section 4, with the examples of section 5: ff7x:140:2001:db8:beef:feed::/96 and
    // ff7x:y40 of the same prefix name 2001:db8:beef:feed::1 and ::y.
    AddressingPolicy policy;
    CHECK(broken("ff75:140:2001:db8:beef:feed:8000:1", policy) == Strings{"note foreign-prefix"});
    policy.own_prefixes.push_back(*parse_ip_prefix("2001:db8:beef::/48"));
    CHECK(broken("ff75:140:2001:db8:beef:feed:8000:1", policy).empty());
    CHECK(broken("ff7e:f40:2001:db8:beef:feed:8000:1", policy).empty());
    CHECK(broken("ff75:40:2001:db8:beef:feed:8000:1", policy) == Strings{"error ipv6-rendezvous"});
    CHECK(broken("ff75:141:2001:db8:beef:feed:8000:1", policy) == Strings{"error ipv6-prefix"});
    CHECK(broken("ff75:1140:2001:db8:beef:feed:8000:1", policy) == Strings{"error ipv6-prefix"});
    CHECK(broken("ff75:100::8000:1", policy) == Strings{"error ipv6-rendezvous"});
    // It is no source-specific group, whatever its length says (RFC 4607 section 1).
    policy.source_specific = true;
    CHECK(broken("ff75:140:2001:db8:beef:feed:8000:1", policy) == Strings{"note source-specific-elsewhere"});
}

TEST_CASE("IPv6 groups made of a unicast prefix are judged by it", "[outside]") {
    // RFC 3306 section 4 with 2001:db8:1::/48 in site scope.
    AddressingPolicy policy;
    CHECK(broken("ff35:30:2001:db8:1::8000:1", policy) == Strings{"note foreign-prefix"});
    policy.own_prefixes.push_back(*parse_ip_prefix("2001:db8:1::/48"));
    CHECK(broken("ff35:30:2001:db8:1::8000:1", policy).empty());
    CHECK(broken("ff35:41:2001:db8:1::8000:1", policy) == Strings{"error ipv6-prefix"});
    CHECK(broken("ff35:20:2001:db8:1::8000:1", policy) == Strings{"error ipv6-prefix"});
    CHECK(broken("ff35:130:2001:db8:1::8000:1", policy) == Strings{"error ipv6-prefix"});
    CHECK(broken("ff25:30:2001:db8:1::8000:1", policy) == Strings{"error ipv6-flags"});
    CHECK(broken("ff3e::8000:1", policy) == Strings{"error source-needed"});
    policy.source_specific = true;
    CHECK(broken("ff3e::8000:1", policy).empty());
}
