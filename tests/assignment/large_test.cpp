// SPDX-License-Identifier: Apache-2.0
// Large lineups and the family that general solvers leave open: proven, and in little time.
#include <catch2/catch.hpp>

#include <algorithm>
#include <cstdio>
#include <ctime>

#include "assignment/rules_of_a_plan.hpp"
#include "support/assignment_instances.hpp"

using namespace mastline;
using namespace mastline::test;

namespace {

struct Timed {
    packing::Solution plan;
    double ms = 0;
};

Timed timed(const packing::Model& model) {
    const auto start = std::clock();
    Timed out{packing::solve(model), 0};
    out.ms = 1000.0 * static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;  // of work: other programs may have the machine
    return out;
}

void solve_many(int channels, double usual_ms) {
    std::vector<double> times;
    int proven = 0, open = 0, slow = 0, impossible = 0;
    for (std::uint64_t seed = 0; seed < 40; ++seed) {
        InstanceKind kind;
        kind.channels = channels;
        kind.models = 1 + static_cast<int>(seed % 2);
        kind.lanes = 1 + static_cast<int>(seed % 3);
        const auto model = random_instance(seed + 100, kind);
        const auto [plan, ms] = timed(model);
        INFO("seed " << seed << ", " << channels << " channels");
        if (plan.complete()) CHECK(faults_of(model, plan.homes, plan.used()) == std::vector<std::string>{});
        if (!plan.proven()) {
            ++open;
            continue;
        }
        ++(plan.complete() ? proven : impossible);
        slow += ms >= 1000;
        times.push_back(ms);
    }
    std::sort(times.begin(), times.end());
    std::printf("%d channels, 40 lineups: %d proven, %d proven impossible, %d open, %d in more than a second; median %.1f ms, longest %.1f ms\n",
                channels, proven, impossible, open, slow, times[times.size() / 2], times.back());
    CHECK(open == 0);
    CHECK(times[times.size() / 2] < usual_ms);
}

}  // namespace

TEST_CASE("60 channels are assigned with proof, usually in 20 ms", "[property]") { solve_many(60, 20); }
TEST_CASE("300 channels are assigned with proof, usually in 50 ms", "[property]") { solve_many(300, 50); }
TEST_CASE("600 channels are assigned with proof, usually in 100 ms", "[property]") { solve_many(600, 100); }

// Carriers of `size` channels that fill cards of `licences` exactly, the size not dividing the
// licences: carriers must be split, and counting licences and tuners alone proves nothing.
TEST_CASE("uniform lineups that fill their cards exactly are proven", "[property]") {
    double longest = 0;
    int solved = 0;
    for (int licences = 8; licences <= 24; licences += 4)
        for (int size = 3; size < licences; ++size)
            for (const int cards : {3, size, 2 * size}) {
                if (licences % size == 0 || cards * licences % size != 0 || cards > 16) continue;
                const int classes = cards * licences / size;
                for (const int tuners : {licences / size, licences / size + 1}) {
                    const auto model = uniform_instance(classes, size, licences, tuners, cards + 4);
                    const auto [plan, ms] = timed(model);
                    INFO(classes << " carriers of " << size << ", cards of " << licences << " and " << tuners << " tuners");
                    longest = std::max(longest, ms);
                    ++solved;
                    CHECK(plan.proven());
                    if (!plan.complete()) continue;
                    CHECK(faults_of(model, plan.homes, plan.used()) == std::vector<std::string>{});
                    CHECK(plan.cost() >= cards);
                }
            }
    std::printf("%d uniform lineups: longest %.1f ms\n", solved, longest);
    CHECK(solved > 50);
    CHECK(longest < 5000);
}
