// SPDX-License-Identifier: Apache-2.0
// The search by which bins receive which classes, the reserve included, against all ways one by one and
// against the integer program of the tests.
#include <catch2/catch.hpp>

#include <iostream>
#include <numeric>

#include "assignment/enumeration.hpp"
#include "assignment/integer_model.hpp"
#include "assignment/rules_of_a_plan.hpp"
#include "planner/assignment/outline.hpp"
#include "planner/assignment/receive_exhaustively.hpp"
#include "support/assignment_instances.hpp"

using namespace mastline;
using namespace mastline::test;

namespace receive_test {

using packing::Verdict;
using packing::WorkClock;

constexpr std::int64_t kNoLimit = 1'000'000'000;

std::vector<std::size_t> all_bins(const packing::Model& model) {
    std::vector<std::size_t> out(model.bins.size());
    std::iota(out.begin(), out.end(), std::size_t{0});
    return out;
}

// Bins of two kinds, some of which cannot receive some classes; lost one by one, or in twos.
packing::Model small_with_reserve(SeededDice& dice) {
    auto out = small_model(dice.roll(4, 7), dice.roll(2, 4), dice.roll(3, 5), dice.roll(2, 4), dice.roll(1, 2));
    out.reserve = true;
    const bool chassis = dice.chance(35);
    const int other_licences = dice.roll(1, 4), other_tuners = dice.roll(1, 3);
    for (std::size_t b = 0; b < out.bins.size(); ++b) {
        if (chassis) out.bins[b].loss_group = b / 2;
        if (b % 2 == 1) out.bins[b].licences = other_licences, out.bins[b].tuners = other_tuners;
    }
    for (auto& row : out.allowed)
        if (dice.chance(30)) for (std::size_t b = 0; b < row.size(); b += 2) row[b] = false;
    for (auto& item : out.items) {
        item.item_class = static_cast<std::size_t>(dice.roll(0, static_cast<int>(out.allowed.size()) - 1));
        item.rate = {5'000'000, 5'220'000};
        item.is_protected = dice.chance(50);
    }
    return out;
}

TEST_CASE("what can be received with the reserve is what all ways say", "[property]") {
    int packed = 0, impossible = 0, only_by_reserve = 0;
    for (std::uint64_t seed = 0; seed < 3000; ++seed) {
        SeededDice dice(seed + 910'000);
        auto model = small_with_reserve(dice);
        const auto used = all_bins(model);
        const auto found = receive_exhaustively(model, used, kNoLimit, WorkClock::in(60));
        const bool fits = fits_somehow(model, used);
        INFO("seed " << seed);
        REQUIRE(found.verdict == (fits ? Verdict::packed : Verdict::impossible));
        if (fits) CHECK(faults_of(model, found.homes, used) == std::vector<std::string>{});
        ++(fits ? packed : impossible);
        model.reserve = false;
        only_by_reserve += !fits && fits_somehow(model, used);
    }
    std::cout << "received with reserve: " << packed << " as all ways say, " << impossible << " in no way, "
              << only_by_reserve << " of them but for the reserve\n";
    CHECK(packed > 500);
    CHECK(only_by_reserve > 300);
}

// Cards are taken away until the lineup only just fits, or no longer does.
packing::Model tight(std::uint64_t seed) {
    SeededDice dice(seed + 920'000);
    InstanceKind kind;
    kind.channels = dice.roll(12, 45);
    kind.models = dice.roll(1, 2);
    kind.lanes = dice.roll(1, 3);
    kind.protected_percent = dice.roll(15, 60);
    kind.reserve = true;
    kind.rate_limit_percent = dice.chance(30) ? 60 : 0;
    kind.chassis = dice.chance(25);
    kind.spare_cards = dice.roll(1, 2);
    auto model = random_instance(seed, kind);
    int licences = 0;
    std::size_t bins = 0;
    while (bins < model.bins.size() && licences < static_cast<int>(model.items.size())) licences += model.bins[bins++].licences;
    bins = std::min(bins + static_cast<std::size_t>(dice.roll(0, 2)), model.bins.size());
    model.bins.resize(bins);
    for (auto& row : model.allowed) row.resize(bins);
    return model;
}

TEST_CASE("what can be received with the reserve is what an integer program finds", "[property]") {
    int packed = 0, impossible = 0, undecided = 0;
    for (std::uint64_t seed = 0; seed < 120; ++seed) {
        const auto model = tight(seed);
        const auto used = all_bins(model);
        const auto found = receive_exhaustively(model, used, 30'000, WorkClock::in(20));
        const auto alone = receive_exhaustively(packing::counts_alone(model), used, 30'000, WorkClock::in(20));
        const auto answer = has_plan(model, static_cast<std::int64_t>(used.size()), 1);
        INFO("seed " << seed << ", " << model.items.size() << " items, " << used.size() << " bins");
        if (found.verdict == Verdict::impossible || alone.verdict == Verdict::impossible) CHECK(answer != Answer::yes);
        if (found.verdict == Verdict::packed) {
            CHECK(answer != Answer::no);
            CHECK(alone.verdict != Verdict::impossible);
            CHECK(faults_of(model, found.homes, used) == std::vector<std::string>{});
        }
        ++(found.verdict == Verdict::open || answer == Answer::unknown ? undecided : found.verdict == Verdict::packed ? packed : impossible);
    }
    std::cout << "received with reserve: " << packed << " packed and " << impossible << " impossible as the integer program says, "
              << undecided << " decided by one alone or by neither\n";
    CHECK(packed > 30);
    CHECK(impossible > 20);
}

TEST_CASE("a search with too few steps says neither", "[unit]") {
    const auto model = random_instance(383, any_kind(383));
    const std::vector<std::size_t> used{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12};
    CHECK(receive_exhaustively(model, used, 100, WorkClock::in(20)).verdict == Verdict::open);
}

TEST_CASE("items carried twice are not for this search", "[unit]") {
    auto model = small_model(4, 2, 3, 4, 2);
    model.reserve = true;
    CHECK(can_be_received_exhaustively(model, {0, 1, 2}));
    model.items[1].copies = 2;
    CHECK_FALSE(can_be_received_exhaustively(model, {0, 1, 2}));
}

// By hand: 3 bins of 10 Mbit/s; 24 Mbit/s in 8 items of 3. After a loss 20 are left, so each bin must hold
// 4 Mbit/s without protection, 12 in all; three items without protection are 9, four are 12.
TEST_CASE("what may be sent after a loss asks for unprotected items in every bin", "[unit]") {
    for (const int unprotected : {3, 4}) {
        auto model = small_model(8, 1, 3, 8, 1);
        model.reserve = true;
        for (auto& bin : model.bins) bin.rate_limit = 10'000'000;
        for (std::size_t i = 0; i < model.items.size(); ++i) {
            model.items[i].rate = {3'000'000, 3'000'000};
            model.items[i].is_protected = static_cast<int>(i) >= unprotected;
        }
        const auto outline = packing::outline_of(model);
        const auto ruling = packing::rule_out(model, *outline, {3});
        CHECK((ruling.reason == packing::Reason::reserve_rate) == (unprotected == 3));
        if (unprotected == 3) CHECK((ruling.needed == 12'000'000 && ruling.available == 9'000'000));
    }
}

}  // namespace receive_test
