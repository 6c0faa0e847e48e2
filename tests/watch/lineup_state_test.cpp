// SPDX-License-Identifier: Apache-2.0
#include "mastline/watch/lineup_state.hpp"

#include <catch2/catch.hpp>

#include "watch/looks.hpp"

using namespace mastline;
using namespace mastline::test;
using namespace std::chrono_literals;

TEST_CASE("an hour is kept in cells of ten seconds, and no more", "[unit]") {
    ChannelHistory history;
    const Duration hour = kStart - kStart % 3600s;
    CHECK(history.stretches(hour, 60) == std::vector<HistoryStretch>(60));
    // Two hours: failed in the last minute of each quarter.
    for (Duration at = hour; at < hour + 2h; at += 500ms)
        history.add(at, at % 900s >= 840s ? Outcome::failed : Outcome::passed, megabits_per_second(8));
    const auto minutes = history.stretches(hour + 2h - 1s, 60);
    REQUIRE(minutes.size() == 60);
    for (std::size_t i = 0; i < 60; ++i) {
        CHECK(minutes[i].looks == 120);
        CHECK(minutes[i].failed_share() == (i % 15 == 14 ? 1 : 0));
        CHECK(minutes[i].rate == megabits_per_second(8));
    }
    const auto parts = history.stretches(hour + 2h - 1s, 12);
    CHECK(parts[2].failed_share() == Approx(0.2));
    // After half an hour without a look, half of it is unknown.
    const auto later = history.stretches(hour + 2h + 30min - 1s, 60);
    CHECK(later[29].looks == 120);
    CHECK(later[30].looks == 0);
    CHECK(history.stretches(hour + 5h, 60) == std::vector<HistoryStretch>(60));
}

TEST_CASE("a failure begins once, changes its fault, and ends with how long it took", "[unit]") {
    LineupState state(three_channels(), "interface eth0", kStart);
    CHECK(state.count(Outcome::not_judged) == 3);
    CHECK(state.update(look_at(kStart + 1s, {{}, {}, {}})).empty());
    CHECK(state.count(Outcome::passed) == 3);
    const auto began = state.update(look_at(kStart + 10s, {{}, {"flow.steady"}, {}}));
    REQUIRE(began.size() == 1);
    CHECK(began[0].kind == EventKind::failed);
    CHECK(began[0].channel == 1);
    CHECK(began[0].checks == std::vector<std::string>{"flow.steady"});
    CHECK(state.update(look_at(kStart + 11s, {{}, {"flow.arrival"}, {}})).empty());  // still silent
    const auto other = state.update(look_at(kStart + 12s, {{}, {"flow.loss", "stream.continuity"}, {}}));
    REQUIRE(other.size() == 1);
    CHECK(other[0].kind == EventKind::other_fault);
    // What was told once is not told again while it lasts, whichever comes first.
    CHECK(state.update(look_at(kStart + 13s, {{}, {"stream.continuity"}, {}})).empty());
    CHECK(state.update(look_at(kStart + 14s, {{}, {"flow.steady", "flow.loss"}, {}})).empty());
    const auto ended = state.update(look_at(kStart + 75s, {{}, {}, {}}));
    REQUIRE(ended.size() == 1);
    CHECK(ended[0].kind == EventKind::recovered);
    CHECK(ended[0].text == "after 1 min");
    CHECK(state.channels()[1].failures == 1);
    CHECK(state.channels()[1].failed_for == 65s);
    CHECK(state.channels()[1].since == kStart + 75s);
    CHECK(state.channels()[0].since == kStart + 1s);
    CHECK(state.events().size() == 3);
    CHECK(state.events().back().number == 3);
    CHECK(state.update(look_at(kStart + 80s, {{}, {"flow.loss"}, {}})).size() == 1);  // a failure of its own
    CHECK(state.channels()[1].failures == 2);
}

TEST_CASE("what fails together names the part that is shared, while it fails", "[unit]") {
    LineupState state(three_channels(), "interface eth0", kStart);
    state.update(look_at(kStart + 1s, {{"flow.arrival"}, {"flow.arrival"}, {}}));
    REQUIRE(!state.explanations().empty());
    CHECK(state.explanations()[0].set[0].parts == std::vector<std::string>{"card:A1"});
    state.update(look_at(kStart + 2s, {{}, {}, {}}));
    CHECK(state.explanations().empty());
}

TEST_CASE("the worst stands first, of equals what changed last", "[unit]") {
    LineupState state(three_channels(), "interface eth0", kStart);
    state.update(look_at(kStart + 1s, {{}, {"flow.loss"}, {}}));
    state.update(look_at(kStart + 2s, {{}, {"flow.loss"}, {"flow.loss"}}));
    CHECK(worst_first(state.channels()) == std::vector<std::size_t>{2, 1, 0});
}

TEST_CASE("events are kept up to their number, and a clock that is set back does no harm", "[unit]") {
    LineupState state(three_channels(), "interface eth0", kStart);
    for (int i = 1; i <= 1200; ++i) {
        const std::vector<std::string> faults = i % 2 == 1 ? std::vector<std::string>{"flow.loss"} : std::vector<std::string>{};
        state.update(look_at(kStart + std::chrono::seconds(i), {faults, {}, {}}));
    }
    CHECK(state.events().size() == LineupState::kMostEvents);
    CHECK(state.events().back().number == 1200);
    state.update(look_at(kStart, {{}, {}, {}}));
    CHECK(state.now() == kStart + 1200s);
    CHECK(state.channels()[0].failed_for == 600s);
}

TEST_CASE("lengths of time are told roughly", "[unit]") {
    CHECK(rough_time(0s) == "0 s");
    CHECK(rough_time(-5s) == "0 s");
    CHECK(rough_time(59'999ms) == "59 s");
    CHECK(rough_time(60s) == "1 min");
    CHECK(rough_time(3h + 5min) == "3 h 05 min");
    CHECK(rough_time(52h) == "2 d 4 h");
}
