// SPDX-License-Identifier: Apache-2.0
// How a duration is spread: extremes exactly, quantiles within 5 %, in fixed memory.
#pragma once

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstdint>

#include "mastline/units/ticks.hpp"

namespace mastline {

struct SpreadObservation {
    std::uint64_t count = 0;
    Duration min{}, mean{}, median{}, p99{}, max{};
    bool operator==(const SpreadObservation&) const = default;
};

class Spread {
public:
    void add(Duration value) {
        const std::int64_t ns = std::max<std::int64_t>(value.count(), 0);
        if (count_ == 0 || ns < min_) min_ = ns;
        max_ = std::max(max_, ns);
        sum_ += ns;
        ++count_;
        ++buckets_[bucket(ns)];
    }

    SpreadObservation observe() const {
        SpreadObservation out;
        if (count_ == 0) return out;
        out.count = count_;
        out.min = Duration(min_);
        out.max = Duration(max_);
        out.mean = Duration(sum_ / static_cast<std::int64_t>(count_));
        out.median = quantile(0.5);
        out.p99 = quantile(0.99);
        return out;
    }

private:
    // Sixteen buckets per doubling: the upper four bits behind the leading one.
    static constexpr unsigned kFine = 4;
    static std::size_t bucket(std::int64_t ns) {
        const auto value = static_cast<std::uint64_t>(ns);
        if (value < (1U << kFine)) return static_cast<std::size_t>(value);
        const auto top = static_cast<unsigned>(std::bit_width(value)) - 1;
        const std::uint64_t fine = (value >> (top - kFine)) & ((1U << kFine) - 1);
        return std::min<std::size_t>((std::size_t{top - kFine + 1} << kFine) + fine, kBuckets - 1);
    }
    static std::int64_t middle(std::size_t bucket) {
        if (bucket < (1U << kFine)) return static_cast<std::int64_t>(bucket);
        const std::size_t shift = (bucket >> kFine) - 1;
        const auto low = ((std::uint64_t{1} << kFine) + (bucket & ((1U << kFine) - 1))) << shift;
        return static_cast<std::int64_t>(low + ((std::uint64_t{1} << shift) >> 1));
    }
    Duration quantile(double q) const {
        const auto rank = static_cast<std::uint64_t>(q * static_cast<double>(count_ - 1));
        std::uint64_t passed = 0;
        for (std::size_t i = 0; i < kBuckets; ++i) {
            passed += buckets_[i];
            if (passed > rank) return Duration(std::clamp(middle(i), min_, max_));
        }
        return Duration(max_);
    }

    static constexpr std::size_t kBuckets = 40U << kFine;  // up to 2^43 ns, two hours
    std::array<std::uint32_t, kBuckets> buckets_{};
    std::int64_t min_ = 0, max_ = 0, sum_ = 0;
    std::uint64_t count_ = 0;
};

}  // namespace mastline
