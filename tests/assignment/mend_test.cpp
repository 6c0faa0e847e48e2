// SPDX-License-Identifier: Apache-2.0
// Lineups that leave next to nothing free: a packing is known to exist, or not to.
#include <catch2/catch.hpp>

#include <algorithm>
#include <numeric>

#include "assignment/rules_of_a_plan.hpp"
#include "planner/assignment/mend.hpp"
#include "support/assignment_instances.hpp"

using namespace mastline;
using namespace mastline::test;

namespace mend_test {

packing::WorkClock::time_point soon() { return packing::WorkClock::in(20); }

std::vector<std::size_t> all_bins(const packing::Model& model) {
    std::vector<std::size_t> out(model.bins.size());
    std::iota(out.begin(), out.end(), std::size_t{0});
    return out;
}

// Bins of five items that send exactly as much as they may; then the items are shuffled.
packing::Model full_to_the_brim(std::uint64_t seed, std::size_t bins) {
    SeededDice dice(seed);
    packing::Model model;
    for (std::size_t b = 0; b < bins; ++b) {
        packing::Bin bin;
        bin.licences = 5;
        bin.tuners = 5;
        bin.rate_limit = 30'000'000;
        bin.loss_group = b;
        model.bins.push_back(bin);
        std::int64_t left = 30'000'000;
        for (int k = 0; k < 5; ++k) {
            packing::Item item;
            item.item_class = static_cast<std::size_t>(dice.roll(0, 3));
            item.rate[0] = k == 4 ? left : std::int64_t{dice.roll(40, 65)} * 100'000;
            left -= item.rate[0];
            model.items.push_back(item);
        }
    }
    for (std::size_t i = model.items.size(); i > 1; --i)
        std::swap(model.items[i - 1], model.items[static_cast<std::size_t>(dice.roll(0, static_cast<int>(i) - 1))]);
    model.allowed.assign(4, std::vector<bool>(bins, true));
    return model;
}

TEST_CASE("bins that only just hold their items by rate are filled", "[property]") {
    for (std::uint64_t seed = 0; seed < 20; ++seed) {
        const auto model = full_to_the_brim(seed, 6);
        INFO("seed " << seed);
        std::optional<packing::Mended> found;
        for (std::int64_t rounds = 200'000; !found && rounds < 100'000'000; rounds *= 2) found = mend(model, all_bins(model), rounds, soon());
        REQUIRE(found);
        CHECK(faults_of(model, found->homes, found->used) == std::vector<std::string>{});
    }
}

TEST_CASE("an item more than the bins hold, or a loss too much, is not mended", "[property]") {
    auto model = full_to_the_brim(3, 4);
    model.items.push_back(model.items.front());
    CHECK(!mend(model, all_bins(model), 50'000, soon()));
    model.items.resize(model.items.size() - 6);  // one bin's worth is free: enough for a loss of five
    for (auto& bin : model.bins) bin.rate_limit.reset();
    model.reserve = true;
    for (auto& item : model.items) item.is_protected = true;
    CHECK(mend(model, all_bins(model), 200'000, soon()));
    auto fuller = model;
    fuller.items.push_back(fuller.items.front());
    CHECK(!mend(fuller, all_bins(fuller), 50'000, soon()));
}

TEST_CASE("a copy that must be in a bin that is not to be used is not put there", "[property]") {
    auto model = full_to_the_brim(5, 4);
    for (auto& bin : model.bins) bin.rate_limit.reset();
    model.items.resize(10);
    model.items[0].pinned[0] = 3;
    CHECK(!mend(model, {0, 1, 2}, 1'000, soon()));
    const auto found = mend(model, {0, 1, 3}, 50'000, soon());
    REQUIRE(found);
    CHECK(found->homes[0][0] == std::size_t{3});
    CHECK(faults_of(model, found->homes, found->used) == std::vector<std::string>{});
}

TEST_CASE("what is to be apart, spread, within a limit or in two places is so after mending", "[property]") {
    for (std::uint64_t seed = 0; seed < 20; ++seed) {
        InstanceKind kind;
        kind.channels = 40;
        kind.lanes = 2;
        kind.protected_percent = 30;
        kind.reserve = seed % 2 == 0;
        kind.chassis = seed % 3 == 0;
        auto model = random_instance(seed, kind);
        SeededDice dice(seed);
        for (int k = 0; k < 4; ++k) model.apart.push_back({static_cast<std::size_t>(2 * k), static_cast<std::size_t>(2 * k + 1)});
        for (std::size_t i = 20; i < 24; ++i) model.items[i].genre = i % 2;
        model.limits.push_back({packing::Limit::Kind::licences, {0, 1}, model.bins[0].licences});
        const auto found = mend(model, all_bins(model), 400'000, soon());
        INFO("seed " << seed);
        REQUIRE(found);
        CHECK(faults_of(model, found->homes, found->used) == std::vector<std::string>{});
    }
}

}  // namespace mend_test
