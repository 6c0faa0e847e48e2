// SPDX-License-Identifier: Apache-2.0
#include "planner/assignment/bin_types.hpp"

#include <algorithm>
#include <map>
#include <tuple>
#include <utility>

namespace mastline::packing {

namespace {

std::vector<bool> classes_of(const Model& model, std::size_t bin) {
    std::vector<bool> out;
    for (const auto& bins : model.allowed) out.push_back(bins[bin]);
    return out;
}

std::vector<std::size_t> limits_of(const Model& model, std::size_t bin) {
    std::vector<std::size_t> out;
    for (std::size_t l = 0; l < model.limits.size(); ++l)
        if (std::count(model.limits[l].bins.begin(), model.limits[l].bins.end(), bin) > 0) out.push_back(l);
    return out;
}

bool losses_matter(const Model& model) {
    return std::any_of(model.items.begin(), model.items.end(),
                       [&](const Item& i) { return i.copies > 1 || (model.reserve && i.is_protected); });
}

// A bin that is lost alone is like any other such; one that items are tied to is like none. Numbers of
// loss groups may be any: they stand apart from those of bins.
using Bond = std::pair<std::size_t, std::size_t>;  // 1 and the loss group, 2 and the bin, or 0 and 0

Bond bond(const Model& model, std::size_t bin) {
    const auto group = model.bins[bin].loss_group;
    const auto alike = std::count_if(model.bins.begin(), model.bins.end(),
                                     [&](const Bin& b) { return b.loss_group == group; });
    for (const auto& item : model.items)
        for (std::size_t copy = 0; copy < 2; ++copy)
            if (item.pinned[copy] == bin || item.previous[copy] == bin) return {2, bin};
    return alike > 1 && losses_matter(model) ? Bond{1, group} : Bond{};
}

// Everything that can tell two bins apart, as one comparable value.
using Traits = std::tuple<int, int, std::int64_t, std::size_t, std::int64_t, std::vector<bool>,
                          std::vector<std::size_t>, Bond>;

}  // namespace

std::vector<std::vector<std::size_t>> bin_types(const Model& model) {
    std::map<Traits, std::vector<std::size_t>> found;
    for (std::size_t b = 0; b < model.bins.size(); ++b) {
        const Bin& bin = model.bins[b];
        found[{bin.licences, bin.tuners, bin.rate_limit.value_or(-1), bin.layer, bin.cost,
               classes_of(model, b), limits_of(model, b), bond(model, b)}]
            .push_back(b);
    }
    std::vector<std::vector<std::size_t>> out;
    for (auto& [traits, bins] : found) out.push_back(std::move(bins));
    std::sort(out.begin(), out.end());
    return out;
}

}  // namespace mastline::packing
