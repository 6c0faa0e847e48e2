// SPDX-License-Identifier: Apache-2.0
// Class-constrained bin packing: bounds and families of the literature.
#include <catch2/catch.hpp>

#include <numeric>

#include "assignment/integer_model.hpp"
#include "support/assignment_instances.hpp"

using namespace mastline;
using namespace mastline::test;

namespace {

packing::Model unit_items(const std::vector<int>& class_sizes, int capacity, int compartments, int bins) {
    packing::Model model;
    for (std::size_t c = 0; c < class_sizes.size(); ++c)
        for (int k = 0; k < class_sizes[c]; ++k) {
            packing::Item item;
            item.item_class = c;
            item.rate = {1'000'000, 1'044'000};
            model.items.push_back(item);
        }
    for (int b = 0; b < bins; ++b) {
        packing::Bin bin;
        bin.licences = capacity;
        bin.tuners = compartments;
        bin.loss_group = static_cast<std::size_t>(b);
        model.bins.push_back(bin);
    }
    model.allowed.assign(class_sizes.size(), std::vector<bool>(model.bins.size(), true));
    return model;
}

std::int64_t fewest(const std::vector<int>& class_sizes, int capacity, int compartments) {
    const auto bins = std::accumulate(class_sizes.begin(), class_sizes.end(), 0);
    const auto plan = packing::solve(unit_items(class_sizes, capacity, compartments, std::min(bins, 20)));
    CHECK(plan.complete());
    CHECK(plan.proven());
    return plan.cost();
}

int up(int a, int b) { return (a + b - 1) / b; }

}  // namespace

// H. Shachnai and T. Tamir, "Polynomial time approximation schemes for class-constrained packing
// problems", Journal of Scheduling 4 (2001): a packing uses at least ceil(n / v) bins of capacity v and
// at least ceil(M / c) bins of c compartments for M classes; a class of n_i items needs ceil(n_i / v)
// compartments.
TEST_CASE("no plan goes below the bounds of class-constrained packing, and some meet them", "[outside]") {
    CHECK(fewest({5, 3, 2, 2, 1, 1}, 4, 2) == 4);      // 14 items, 4 a bin
    CHECK(fewest({1, 1, 1, 1, 1, 1, 1}, 4, 2) == 4);   // 7 classes, 2 a bin
    CHECK(fewest({3, 3, 3, 3}, 4, 2) == 3);            // fills three bins exactly, by splitting one class
    CHECK(fewest({3, 3, 3}, 4, 1) == 3);               // one class a bin
    CHECK(fewest({9, 9}, 4, 1) == 6);                  // ceil(9 / 4) compartments each
    SeededDice dice(7);
    for (int round = 0; round < 60; ++round) {
        std::vector<int> sizes;
        for (int c = dice.roll(2, 6); c > 0; --c) sizes.push_back(dice.roll(1, 6));
        const int capacity = dice.roll(2, 7), compartments = dice.roll(1, 3);
        int items = 0, pieces = 0;
        for (const int n : sizes) items += n, pieces += up(n, capacity);
        const int bound = std::max({up(items, capacity), up(static_cast<int>(sizes.size()), compartments), up(pieces, compartments)});
        const auto cost = fewest(sizes, capacity, compartments);
        INFO("round " << round);
        CHECK(cost >= bound);
        CHECK(has_plan(unit_items(sizes, capacity, compartments, static_cast<int>(cost)), cost - 1, 5) == Answer::no);
    }
}

// F. Chung, R. Graham, J. Mao and G. Varghese, "Parallelism versus memory allocation in pipelined
// router forwarding engines", Theory of Computing Systems 39 (2006); L. Epstein and R. van Stee,
// "Approximation schemes for packing splittable items with cardinality constraints", Algorithmica 62
// (2012): items that may be split, at most k parts a bin. With k = 2 and items above the bin's size a
// packing is a graph of items and bins; a tree of m bins holds at most m + 1 parts' worth of items.
TEST_CASE("with two parts a bin, splittable items need as many bins as their trees say", "[outside]") {
    // Seven items of 4, bins of 4 parts' room: each fills one.
    CHECK(fewest({4, 4, 4, 4, 4, 4, 4}, 4, 2) == 7);
    // Six items of 2 pair up; five leave one alone.
    CHECK(fewest({2, 2, 2, 2, 2, 2}, 4, 2) == 3);
    CHECK(fewest({2, 2, 2, 2, 2}, 4, 2) == 3);
    // Four items of 3, bins of 4: 12 fills three bins, a path of three bins with four items has six
    // edges, which are all the compartments there are.
    CHECK(fewest({3, 3, 3, 3}, 4, 2) == 3);
    // Eight items of 3 in six full bins are two such paths.
    CHECK(fewest({3, 3, 3, 3, 3, 3, 3, 3}, 4, 2) == 6);
    // Five items of 3: 15 units would do with four bins of 4.
    CHECK(fewest({3, 3, 3, 3, 3}, 4, 2) == 4);
    // Seven of 4 in bins of 7: four bins hold 28 exactly, as a path with seven items and four bins
    // needs ten edges and there are eight compartments, five bins it is.
    CHECK(fewest({4, 4, 4, 4, 4, 4, 4}, 7, 2) == 5);
}

TEST_CASE("the order of channels and of cards does not change the number of cards", "[property]") {
    for (std::uint64_t seed = 1; seed <= 40; ++seed) {
        InstanceKind kind;
        kind.channels = 40;
        kind.models = 2;
        kind.lanes = 2;
        kind.protected_percent = seed % 2 == 0 ? 20 : 0;
        auto model = random_instance(seed + 700, kind);
        const auto plan = packing::solve(model);
        SeededDice dice(seed);
        for (std::size_t i = model.items.size() - 1; i > 0; --i)
            std::swap(model.items[i], model.items[static_cast<std::size_t>(dice.roll(0, static_cast<int>(i)))]);
        for (std::size_t b = model.bins.size() - 1; b > 0; --b) {
            const auto other = static_cast<std::size_t>(dice.roll(0, static_cast<int>(b)));
            std::swap(model.bins[b], model.bins[other]);
            for (auto& row : model.allowed) std::vector<bool>::swap(row[b], row[other]);
        }
        const auto shuffled = packing::solve(model);
        INFO("seed " << seed);
        CHECK(plan.proven());
        CHECK(shuffled.proven());
        CHECK(shuffled.cost() == plan.cost());
    }
}
