// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include <atomic>
#include <thread>
#include <vector>

#include "planner/program/integer_program.hpp"

using namespace mastline;

namespace {

// A knapsack: the most worth of things of 2, 3, 4, ... kilograms in a bag, told by trying every choice too.
long most_worth(int things, int bag) {
    long best = 0;
    for (int chosen = 0; chosen < 1 << things; ++chosen) {
        long worth = 0, weight = 0;
        for (int i = 0; i < things; ++i)
            if ((chosen >> i & 1) != 0) weight += i + 2, worth += (i * 7) % 11 + 1;
        if (weight <= bag) best = std::max(best, worth);
    }
    return best;
}

long worth_by_program(int things, int bag) {
    IntegerProgram program;
    std::vector<std::pair<int, double>> weights;
    for (int i = 0; i < things; ++i) weights.emplace_back(program.integer(0, 1, -((i * 7) % 11 + 1)), i + 2);
    program.at_most(weights, bag);
    if (program.solve(10) != IntegerProgram::Outcome::optimal) return -1;
    long worth = 0;
    for (int i = 0; i < things; ++i) worth += program.value(weights[static_cast<std::size_t>(i)].first) * ((i * 7) % 11 + 1);
    return worth;
}

}  // namespace

TEST_CASE("programs are solved by several threads at a time as by one", "[unit]") {
    std::atomic<int> wrong = 0;
    const auto work = [&](int first) {
        for (int bag = first; bag < 40; bag += 2)
            if (worth_by_program(9, bag) != most_worth(9, bag)) ++wrong;
    };
    std::thread odd(work, 5);
    work(6);
    odd.join();
    CHECK(wrong == 0);
}
