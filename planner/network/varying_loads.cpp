// SPDX-License-Identifier: Apache-2.0
#include "planner/network/varying_loads.hpp"

#include <algorithm>
#include <cmath>

namespace mastline {

namespace {

VaryingRate rate_on(const NetworkCarriage& c, bool tagged) {
    return tagged ? VaryingRate{c.mean_tagged, c.tagged} : VaryingRate{c.mean_plain, c.plain};
}

// Display ports keep the tag where their zone says so; cards send none.
bool is_tagged(const Site& site, const LinkLoad& load) {
    switch (load.of) {
        case LoadOf::link: return site.tagged(static_cast<LinkIndex>(load.index));
        case LoadOf::display_port: return site.tagged_port(load.index);
        case LoadOf::card: break;
    }
    return false;
}

}  // namespace

void VaryingSum::add(const VaryingRate& s) {
    const auto mean = static_cast<double>(s.mean.bits_per_second());
    const auto peak = static_cast<double>(s.peak.bits_per_second());
    mean_ += s.mean;
    peak_ += s.peak;
    if (s.mean >= s.peak) return;
    peak_squares_ += peak * peak;
    variance_ += mean * (peak - mean);
    farthest_ = std::max(farthest_, peak - mean);
}

void VaryingSum::add(const VaryingSum& other) {
    mean_ += other.mean_;
    peak_ += other.peak_;
    peak_squares_ += other.peak_squares_;
    variance_ += other.variance_;
    farthest_ = std::max(farthest_, other.farthest_);
}

BitRate VaryingSum::exceeded_at_most(double chance) const {
    const double l = -std::log(chance);
    const double hoeffding = std::sqrt(l * peak_squares_ / 2);
    const double step = l * farthest_ / 3;
    const double bernstein = step + std::sqrt(step * step + 2 * l * variance_);
    const BitRate margin(static_cast<std::int64_t>(std::ceil(std::min(hoeffding, bernstein))));
    return std::min(peak_, mean_ + margin);
}

VaryingSources::VaryingSources(const Site& site)
    : site_(site), plain_(site.heaviest.source_count()), tagged_(site.heaviest.source_count()) {
    for (const auto c : site.heaviest.by_rate()) {
        plain_[site.heaviest.source_of(c)].add(rate_on(site.carriages[c], false));
        tagged_[site.heaviest.source_of(c)].add(rate_on(site.carriages[c], true));
    }
}

VaryingLoad VaryingSources::load(const SourceMask& sources, const std::vector<CarriageIndex>& groups,
                                 bool tagged) const {
    VaryingSum sum;
    sources.for_each([&](std::size_t source) { sum.add((tagged ? tagged_ : plain_)[source]); });
    for (const auto c : groups) sum.add(rate_on(site_.carriages[c], tagged));
    return {sum.mean(), sum.exceeded_at_most(kExceededAtMost)};
}

BitRate exceeded_at_most(std::span<const VaryingRate> streams, double chance) {
    VaryingSum sum;
    for (const auto& s : streams) sum.add(s);
    return sum.exceeded_at_most(chance);
}

VaryingLoad varying_load(const Site& site, const std::vector<CarriageIndex>& groups, bool tagged) {
    VaryingSum sum;
    for (const auto c : groups) sum.add(rate_on(site.carriages[c], tagged));
    return {sum.mean(), sum.exceeded_at_most(kExceededAtMost)};
}

void add_varying_loads(const Site& site, NetworkLoad& out) {
    for (auto& load : out.links) {
        const auto sum = varying_load(site, load.groups, is_tagged(site, load));
        for (const auto c : load.groups) load.frames += site.carriages[c].frames;
        load.mean = sum.mean;
        load.nearly_always = sum.nearly_always;
        // Flooding that needs no failure is taken at its peak: a bound all the time.
        if (load.failure.empty())
            load.failure_nearly_always = load.flooded > load.worst_mix ? load.flooded : load.nearly_always;
    }
}

}  // namespace mastline
