// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>
#include <set>

#include "mastline/addressing/allocate.hpp"
#include "planner/addressing/group_numbers.hpp"
#include "planner/addressing/group_rules.hpp"
#include "support/dice.hpp"
#include "support/lineup_stub.hpp"

using namespace mastline;
using test::range;

namespace {

// Counts one by one what group_capacity() counts by arithmetic.
std::size_t enumerated(const Venue& venue) {
    std::set<MacAddress> macs;
    for (const auto& r : venue.addressing.ranges)
        for (std::uint64_t w = last_word(r.first.address()); w <= last_word(r.last.address()); ++w) {
            const Group g = group_like(r.first, static_cast<std::uint32_t>(w));
            bool good = true;
            for (const auto& rule : rules_touching({g, g}, venue.addressing))
                good = good && rule.severity != Severity::error;
            for (const auto& reserved : venue.addressing.reserved)
                good = good && !overlap(span_of(reserved), {g, g});
            if (good) macs.insert(mac_of(g));
        }
    for (const auto& o : venue.occupied)
        for (std::uint64_t w = last_word(o.range.first.address());
             w <= last_word(o.range.last.address()); ++w)
            macs.erase(mac_of(group_like(o.range.first, static_cast<std::uint32_t>(w))));
    return macs.size();
}

GroupRange random_range(test::Dice& dice, std::uint32_t most) {
    // Around the borders of blocks and of the 23 bits.
    static constexpr std::uint32_t anchors[] = {0xEFC3FE80, 0xEF7FFF80, 0xEF000000, 0xEFFFFE00,
                                                0xE0000080, 0xE9161E00, 0xEF800000, 0xEF0000C0};
    const std::uint32_t first = anchors[dice.below(8)] + dice.below(200);
    const std::uint32_t last = first + std::min(dice.below(most), 0xEFFFFFFFU - first);
    return {*Group::of(IpAddress::v4(first)), *Group::of(IpAddress::v4(last)), "", {}};
}

}  // namespace

TEST_CASE("the capacity figure equals enumeration on small ranges", "[property]") {
    test::Dice dice(11);
    for (int round = 0; round < 300; ++round) {
        Venue venue;
        for (std::uint32_t i = 0; i <= dice.below(3); ++i)
            venue.addressing.ranges.push_back(random_range(dice, 700));
        for (std::uint32_t i = 0; i < dice.below(3); ++i)
            venue.addressing.reserved.push_back(random_range(dice, 100));
        for (std::uint32_t i = 0; i < dice.below(3); ++i)
            venue.occupied.push_back({random_range(dice, 100), ""});
        REQUIRE(group_capacity(venue) == enumerated(venue));
    }
}

TEST_CASE("the capacity of large ranges is counted by hand", "[unit]") {
    Venue venue;
    venue.addressing.ranges = {range("239.192.0.0/16")};
    CHECK(group_capacity(venue) == 65536);
    // All of 239/8 wraps twice around 2^23 addresses, of which 256 are control traffic's. The two
    // blocks for relative use have siblings with the same addresses in the other half.
    venue.addressing.ranges = {range("239.0.0.0/8")};
    CHECK(group_capacity(venue) == 8388608 - 256);
    // 239.192/14 loses its last 256; 239.64/14 gives the same addresses, these included.
    venue.addressing.ranges = {range("239.192.0.0/14")};
    CHECK(group_capacity(venue) == 262144 - 256);
    venue.addressing.ranges.push_back(range("239.64.0.0/14"));
    CHECK(group_capacity(venue) == 262144);
    venue.addressing.ranges = {range("ff15::8000:0/97")};
    CHECK(group_capacity(venue) == 0x80000000 - 0x1000000);
    venue.occupied.push_back({range("239.0.0.0/8"), "everything"});
    CHECK(group_capacity(venue) == 0x80000000 - 0x1000000);
    venue.addressing.ranges = {range("239.192.0.0/16")};
    CHECK(group_capacity(venue) == 0);
}
