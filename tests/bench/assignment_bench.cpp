// SPDX-License-Identifier: Apache-2.0
// Time for putting channels on cards: 40 random lineups of each size, and the uniform family that
// general solvers leave open. One line per figure, tab-separated: name, value, unit, goal.
#include <string>

#include "bench.hpp"
#include "support/assignment_instances.hpp"

using namespace mastline;

namespace {

struct Solved {
    double ms = 0;
    bool proven = false;
};

Solved solved(const packing::Model& model) {
    const double begin = bench::now_in_seconds();
    const auto plan = packing::solve(model);
    return {1000 * (bench::now_in_seconds() - begin), plan.proven()};
}

struct Figures {
    std::vector<double> ms;
    int open = 0;

    void add(const Solved& one) {
        ms.push_back(one.ms);
        open += one.proven ? 0 : 1;
    }
};

Figures random_lineups(int channels) {
    Figures out;
    for (std::uint64_t seed = 0; seed < 40; ++seed) {
        test::InstanceKind kind;
        kind.channels = channels;
        kind.models = 1 + static_cast<int>(seed % 2);
        kind.lanes = 1 + static_cast<int>(seed % 3);
        out.add(solved(test::random_instance(seed + 100, kind)));
    }
    return out;
}

// Carriers that fill their cards exactly and must be split for it.
Figures uniform_lineups() {
    Figures out;
    for (int licences = 8; licences <= 24; licences += 4)
        for (int size = 3; size < licences; ++size)
            for (const int cards : {3, size, 2 * size}) {
                if (licences % size == 0 || cards * licences % size != 0 || cards > 16) continue;
                for (const int tuners : {licences / size, licences / size + 1})
                    out.add(solved(test::uniform_instance(cards * licences / size, size, licences, tuners, cards + 4)));
            }
    return out;
}

bool print(const std::string& name, Figures figures, double usual_ms, double longest_ms) {
    std::sort(figures.ms.begin(), figures.ms.end());
    const bool usual = bench::at_most((name + ".median.ms").c_str(), figures.ms[figures.ms.size() / 2], "ms", usual_ms);
    const bool longest = bench::at_most((name + ".longest.ms").c_str(), figures.ms.back(), "ms", longest_ms);
    return bench::at_most((name + ".open").c_str(), figures.open, "lineups", 0) && usual && longest;
}

}  // namespace

int main() {
    bool good = print("assignment.60", random_lineups(60), 20, 20);
    good = print("assignment.300", random_lineups(300), 50, 1000) && good;
    good = print("assignment.600", random_lineups(600), 50, 1000) && good;
    return print("assignment.uniform", uniform_lineups(), 50, 1000) && good ? 0 : 1;
}
