// SPDX-License-Identifier: Apache-2.0
#include "planner/network/varying_loads.hpp"

#include <catch2/catch.hpp>
#include <random>

#include "support/network_builder.hpp"

using namespace mastline;

namespace {

enum class Shape { two_point, uniform, mostly_low };

// One draw of a rate with the mean and within 0 and the peak of `s`.
double draw(const VaryingRate& s, Shape shape, std::mt19937& random) {
    const auto mean = static_cast<double>(s.mean.bits_per_second());
    const auto peak = static_cast<double>(s.peak.bits_per_second());
    const double u = std::uniform_real_distribution<double>()(random);
    switch (shape) {
        case Shape::two_point: return u < mean / peak ? peak : 0;  // the widest there is
        case Shape::uniform: return mean + (2 * u - 1) * std::min(peak - mean, mean);
        case Shape::mostly_low: return u < 0.1 ? peak : (mean - 0.1 * peak) / 0.9;
    }
    return 0;
}

// How often the sum is above `bound`.
double exceeded(const std::vector<VaryingRate>& streams, Shape shape, BitRate bound, int draws) {
    std::mt19937 random(7);
    int above = 0;
    for (int i = 0; i < draws; ++i) {
        double sum = 0;
        for (const auto& s : streams) sum += draw(s, shape, random);
        above += sum > static_cast<double>(bound.bits_per_second()) ? 1 : 0;
    }
    return static_cast<double>(above) / draws;
}

std::vector<VaryingRate> streams(std::size_t count, double mean, double peak) {
    return std::vector<VaryingRate>(count, {megabits_per_second(mean), megabits_per_second(peak)});
}

}  // namespace

TEST_CASE("varying streams exceed the bound no more often than it says, by Monte Carlo", "[outside]") {
    std::mt19937 random(3);
    for (int i = 0; i < 12; ++i) {
        std::vector<VaryingRate> mixed;
        for (int n = 20 + 30 * i; n > 0; --n) {
            const double peak = std::uniform_real_distribution<double>(2, 20)(random);
            mixed.push_back({megabits_per_second(peak * std::uniform_real_distribution<double>(0.15, 1)(random)),
                             megabits_per_second(peak)});
        }
        const auto bound = exceeded_at_most(mixed, 0.001);
        for (const auto shape : {Shape::two_point, Shape::uniform, Shape::mostly_low}) {
            CAPTURE(i, static_cast<int>(shape));
            // 20,000 draws: 0.001 is 20 of them, and 40 would be four standard deviations more.
            CHECK(exceeded(mixed, shape, bound, 20'000) <= 0.002);
        }
    }
}

TEST_CASE("the bound is worth having: many streams stay well below their peaks", "[unit]") {
    // 400 streams of 4 in 8 Mbit/s: the two-point sum has deviation 80 Mbit/s and stays below 1600 +
    // 3.09 x 80 = 1847 Mbit/s 99.9 % of the time (normal law); Hoeffding allows 1600 + 297.3.
    const auto many = streams(400, 4, 8);
    const auto bound = test::mbps(exceeded_at_most(many, 0.001));
    CHECK(bound > 1847);
    CHECK(bound == Approx(1600 + std::sqrt(std::log(1000.0) * 400 * 64 / 2)).epsilon(1e-6));
    CHECK(bound < 3200);
}

TEST_CASE("few streams may well peak at once, and constant ones never vary", "[unit]") {
    CHECK(test::mbps(exceeded_at_most(streams(3, 4, 8), 0.001)) == Approx(24));
    CHECK(test::mbps(exceeded_at_most(streams(50, 8, 8), 0.001)) == Approx(400));
    CHECK(exceeded_at_most({}, 0.001) == BitRate(0));
}

TEST_CASE("a link says the mean and the percentile of its worst mix", "[unit]") {
    test::NetworkBuilder b(std::vector<BitRate>(300, megabits_per_second(4)));
    for (auto& input : b.venue().inputs) input.programme.peak = megabits_per_second(8);
    b.with_switch("core").with_switch("edge").with_link("core", "edge", 10);
    b.querier("core", 0x0A000001).with_card("A1", "core", 300).with_zone("edge", 300);
    const auto load = b.load();
    const auto& link = test::direction(load, "core", "edge");
    CHECK(link.groups.size() == 300);
    CHECK(test::mbps(link.mean) == Approx(test::mbps(link.worst_mix) / 2).epsilon(1e-6));
    CHECK(link.mean < link.nearly_always);
    CHECK(link.nearly_always < link.worst_mix);
}
