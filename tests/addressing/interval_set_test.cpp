// SPDX-License-Identifier: Apache-2.0
#include "planner/addressing/interval_set.hpp"

#include <catch2/catch.hpp>
#include <set>

#include "support/dice.hpp"

using mastline::IntervalSet;

TEST_CASE("a set of runs agrees with a plain set over random additions and removals", "[property]") {
    mastline::test::Dice dice(7);
    for (int round = 0; round < 300; ++round) {
        IntervalSet runs;
        std::set<std::uint64_t> plain;
        for (int step = 0; step < 30; ++step) {
            const std::uint64_t first = dice.below(100), end = first + dice.below(20);
            const bool adds = !dice.one_in(3);
            if (adds) runs.add({first, end});
            else runs.remove({first, end});
            for (auto n = first; n < end; ++n) {
                if (adds) plain.insert(n);
                else plain.erase(n);
            }
            const std::uint64_t asked = dice.below(130);
            const auto at = plain.lower_bound(asked);
            REQUIRE(runs.count() == plain.size());
            REQUIRE(runs.contains(asked) == plain.contains(asked));
            REQUIRE(runs.next(asked) == (at == plain.end() ? std::nullopt : std::optional(*at)));
            const auto above = plain.upper_bound(asked);
            REQUIRE(runs.last_up_to(asked) ==
                    (above == plain.begin() ? std::nullopt : std::optional(*std::prev(above))));
        }
        for (auto at = runs.runs().begin(); at != runs.runs().end() && std::next(at) != runs.runs().end(); ++at)
            REQUIRE(at->second < std::next(at)->first);
    }
}
