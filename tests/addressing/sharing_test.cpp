// SPDX-License-Identifier: Apache-2.0
#include <algorithm>

#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/max_cardinality_matching.hpp>
#include <catch2/catch.hpp>

#include "mastline/addressing/allocate.hpp"
#include "planner/addressing/group_numbers.hpp"
#include "support/dice.hpp"
#include "support/lineup_stub.hpp"

using namespace mastline;
using test::lineup;
using test::numbers;

namespace {

constexpr const char* kTags[] = {"", "sport", "news", "hd", "uhd"};

// A few groups at places whose Ethernet addresses meet: 239.192/16 and 239.64/16.
GroupRange small_range(test::Dice& dice) {
    const std::uint32_t first = (dice.one_in(2) ? 0xEFC00100U : 0xEF400100U) + dice.below(12);
    return {*Group::of(IpAddress::v4(first)), *Group::of(IpAddress::v4(first + dice.below(6))),
            kTags[dice.below(5)], {}};
}

bool may_draw(const Channel& channel, const GroupRange& range) {
    const std::string picture = channel.picture == PictureClass::uhd ? "uhd" : "hd";
    return range.tag.empty() || range.tag == channel.genre || range.tag == picture;
}

// The most channels that can have a group at once: a maximum matching of channels and Ethernet
// addresses (Boost.Graph, Edmonds).
std::size_t most_served(const Venue& venue) {
    std::vector<std::uint64_t> macs;
    for (const auto& r : venue.addressing.ranges)
        for (auto w = last_word(r.first.address()); w <= last_word(r.last.address()); ++w)
            macs.push_back(mac_number(group_like(r.first, w)));
    std::sort(macs.begin(), macs.end());
    macs.erase(std::unique(macs.begin(), macs.end()), macs.end());
    const auto channels = venue.channels.size();
    using Graph = boost::adjacency_list<boost::vecS, boost::vecS, boost::undirectedS>;
    Graph graph(channels + macs.size());
    for (std::size_t c = 0; c < channels; ++c)
        for (const auto& r : venue.addressing.ranges)
            for (auto w = last_word(r.first.address());
                 may_draw(venue.channels[c], r) && w <= last_word(r.last.address()); ++w) {
                const auto at = std::lower_bound(macs.begin(), macs.end(), mac_number(group_like(r.first, w)));
                boost::add_edge(c, channels + static_cast<std::size_t>(at - macs.begin()), graph);
            }
    std::vector<boost::graph_traits<Graph>::vertex_descriptor> mate(channels + macs.size());
    boost::edmonds_maximum_cardinality_matching(graph, mate.data());
    return boost::matching_size(graph, mate.data());
}

}  // namespace

TEST_CASE("by tag, as many channels have a group as a maximum matching gives", "[outside]") {
    test::Dice dice(29);
    int scarce = 0;
    for (int round = 0; round < 1000; ++round) {
        auto l = lineup(numbers(1, 2 + dice.below(14)));
        for (auto& channel : l.venue.channels) {
            channel.genre = dice.one_in(3) ? "" : kTags[1 + dice.below(2)];
            channel.picture = dice.one_in(2) ? PictureClass::uhd : PictureClass::hd;
        }
        l.venue.addressing.scheme = GroupScheme::by_tag;
        for (std::uint32_t i = 0; i <= 1 + dice.below(4); ++i)
            l.venue.addressing.ranges.push_back(small_range(dice));
        const auto result = allocate(l.venue, l.assignment, l.findings);
        const auto most = most_served(l.venue);
        CAPTURE(round);
        REQUIRE(result.carriages.size() == most);
        const bool all = most == l.venue.channels.size();
        REQUIRE(has_errors(l.findings) != all);
        scarce += all ? 0 : 1;
        for (const auto& c : result.carriages) {
            const auto& channel = l.venue.channels[l.assignment.homes[c.home].channel];
            REQUIRE(std::any_of(l.venue.addressing.ranges.begin(), l.venue.addressing.ranges.end(),
                                [&](const GroupRange& r) {
                                    return may_draw(channel, r) &&
                                           overlap(span_of(r), {c.flow.group, c.flow.group});
                                }));
        }
    }
    CHECK(scarce > 100);
    CHECK(scarce < 900);
}
