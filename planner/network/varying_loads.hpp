// SPDX-License-Identifier: Apache-2.0
// What a link carries when its streams vary: the mean, and what they stay below nearly always.
#pragma once

#include <span>

#include "mastline/network/network_load.hpp"
#include "planner/network/site.hpp"

namespace mastline {

struct VaryingRate {
    BitRate mean, peak;
};

// A rate that the sum of independent streams exceeds with a chance of at most `chance`, whatever
// their distributions between nothing and their peaks: the mean, and the least of three margins:
// to the sum of the peaks; Hoeffding's (1963, theorem 2) from sum of peak^2; Bernstein's (after
// Bennett 1962) from the variances, which are at most mean x (peak - mean), and the farthest peak.
// No stream that keeps its rate adds to it.
BitRate exceeded_at_most(std::span<const VaryingRate> streams, double chance);

struct VaryingLoad {
    BitRate mean, nearly_always;
};

// What streams add to the bounds of their sum.
class VaryingSum {
public:
    void add(const VaryingRate& stream);
    void add(const VaryingSum& other);
    BitRate mean() const { return mean_; }
    BitRate exceeded_at_most(double chance) const;

private:
    BitRate mean_, peak_;
    double peak_squares_ = 0, variance_ = 0, farthest_ = 0;  // bit/s, squared where it says so
};

// Sums of all streams of each source.
class VaryingSources {
public:
    explicit VaryingSources(const Site& site);
    // Of these sources and of the streams of `groups` besides, on one link.
    VaryingLoad load(const SourceMask& sources, const std::vector<CarriageIndex>& groups, bool tagged) const;

private:
    const Site& site_;
    std::vector<VaryingSum> plain_, tagged_;  // by source
};

// Of the streams of `groups` on one link.
VaryingLoad varying_load(const Site& site, const std::vector<CarriageIndex>& groups, bool tagged);

// Fills frames, mean and nearly_always of every direction, for the groups of its worst mix, and
// failure_nearly_always where no failure is worse.
void add_varying_loads(const Site& site, NetworkLoad& out);

}  // namespace mastline
