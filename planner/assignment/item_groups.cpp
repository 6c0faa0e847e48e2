// SPDX-License-Identifier: Apache-2.0
#include "planner/assignment/item_groups.hpp"

#include <algorithm>
#include <map>
#include <set>
#include <tuple>

namespace mastline::packing {

namespace {

bool rates_matter(const Model& model) {
    const auto rate_limited = [](const Limit& l) { return l.kind == Limit::Kind::rate; };
    return std::any_of(model.bins.begin(), model.bins.end(), [](const Bin& b) { return b.rate_limit; }) ||
           std::any_of(model.limits.begin(), model.limits.end(), rate_limited);
}

}  // namespace

std::vector<ItemGroup> groups_of(const Model& model) {
    std::set<std::size_t> single;
    for (const auto& [a, b] : model.apart) single.insert({a, b});
    const bool by_rate = rates_matter(model);
    using Key = std::tuple<std::size_t, bool, int, std::size_t, std::size_t, std::size_t, std::size_t, std::size_t,
                           std::array<std::int64_t, 2>, std::size_t>;
    std::map<Key, ItemGroup> found;
    for (std::size_t i = 0; i < model.items.size(); ++i) {
        const auto& item = model.items[i];
        const auto number = [](const std::optional<std::size_t>& o) { return o ? *o + 1 : 0; };
        auto& group = found[{item.item_class, item.is_protected, item.copies, number(item.pinned[0]), number(item.pinned[1]),
                             number(item.previous[0]), number(item.previous[1]), number(item.genre),
                             by_rate ? item.rate : std::array<std::int64_t, 2>{},
                             single.contains(i) ? i + 1 : 0}];
        group.items.push_back(i);
        group.item_class = item.item_class;
    }
    std::vector<ItemGroup> out;
    for (auto& [key, group] : found) out.push_back(std::move(group));
    return out;
}

}  // namespace mastline::packing
