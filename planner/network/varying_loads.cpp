// SPDX-License-Identifier: Apache-2.0
#include "planner/network/varying_loads.hpp"

#include <algorithm>
#include <cmath>
#include <unordered_map>

namespace mastline {

namespace {

// What the streams of a sum add to its bounds.
class Sum {
public:
    void add(const VaryingRate& s) {
        const auto mean = static_cast<double>(s.mean.bits_per_second());
        const auto peak = static_cast<double>(s.peak.bits_per_second());
        mean_ += s.mean;
        peak_ += s.peak;
        if (s.mean >= s.peak) return;
        peak_squares_ += peak * peak;
        variance_ += mean * (peak - mean);
        farthest_ = std::max(farthest_, peak - mean);
    }
    BitRate mean() const { return mean_; }
    BitRate exceeded_at_most(double chance) const {
        const double l = -std::log(chance);
        const double hoeffding = std::sqrt(l * peak_squares_ / 2);
        const double step = l * farthest_ / 3;
        const double bernstein = step + std::sqrt(step * step + 2 * l * variance_);
        const BitRate margin(static_cast<std::int64_t>(std::ceil(std::min(hoeffding, bernstein))));
        return std::min(peak_, mean_ + margin);
    }

private:
    BitRate mean_, peak_;
    double peak_squares_ = 0, variance_ = 0, farthest_ = 0;  // bit/s, squared where it says so
};

VaryingRate rate_on(const NetworkCarriage& c, bool tagged) {
    return tagged ? VaryingRate{c.mean_tagged, c.tagged} : VaryingRate{c.mean_plain, c.plain};
}

// Display ports keep the tag where their zone says so; cards send none.
std::unordered_map<std::string, bool> tagged_zones(const Site& site) {
    std::unordered_map<std::string, bool> out;
    for (const auto& zone : site.venue.zones)
        out.emplace("zone " + zone.name + " displays",
                    zone.tagged && site.venue.addressing.vlan.has_value());
    return out;
}

}  // namespace

BitRate exceeded_at_most(std::span<const VaryingRate> streams, double chance) {
    Sum sum;
    for (const auto& s : streams) sum.add(s);
    return sum.exceeded_at_most(chance);
}

VaryingLoad varying_load(const Site& site, const std::vector<CarriageIndex>& groups, bool tagged) {
    Sum sum;
    for (const auto c : groups) sum.add(rate_on(site.carriages[c], tagged));
    return {sum.mean(), sum.exceeded_at_most(kExceededAtMost)};
}

void add_varying_loads(const Site& site, NetworkLoad& out) {
    const auto zones = tagged_zones(site);
    for (std::size_t i = 0; i < out.links.size(); ++i) {
        auto& load = out.links[i];
        bool tagged = false;
        if (i < 2 * site.venue.links.size()) tagged = site.tagged(static_cast<LinkIndex>(i / 2));
        else if (const auto zone = zones.find(load.link); zone != zones.end()) tagged = zone->second;
        const auto sum = varying_load(site, load.groups, tagged);
        for (const auto c : load.groups) load.frames += site.carriages[c].frames;
        load.mean = sum.mean;
        load.nearly_always = sum.nearly_always;
        if (load.failure.empty()) load.failure_nearly_always = load.nearly_always;
    }
}

}  // namespace mastline
