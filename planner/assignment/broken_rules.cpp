// SPDX-License-Identifier: Apache-2.0
#include <algorithm>

#include "planner/assignment/placement.hpp"

namespace mastline::packing {

std::vector<const char*> broken_rules(const Model& model, const std::vector<Homes>& homes,
                                      const std::vector<std::size_t>& used) {
    std::vector<const char*> out;
    Placement placement(model);
    for (std::size_t i = 0; i < homes.size(); ++i)
        for (std::size_t copy = 0; copy < 2; ++copy) {
            const bool wanted = copy < static_cast<std::size_t>(model.items[i].copies);
            if (!homes[i][copy]) {
                if (wanted) out.push_back("an item has no home");
                continue;
            }
            if (!wanted) out.push_back("an item has a copy too many");
            if (std::find(used.begin(), used.end(), *homes[i][copy]) == used.end())
                out.push_back("a bin with items is not among the used ones");
            if (!placement.fits(i, copy, *homes[i][copy])) out.push_back("an item does not fit its bin");
            placement.put(i, copy, *homes[i][copy]);
        }
    for (const auto& limit : model.limits) {
        const auto n = std::count_if(limit.bins.begin(), limit.bins.end(), [&](std::size_t b) {
            return std::find(used.begin(), used.end(), b) != used.end();
        });
        if (limit.kind == Limit::Kind::bins && n > limit.most) out.push_back("more bins are used than there are slots");
    }
    if (model.reserve && out.empty() && !reserve_holds(placement, used))
        out.push_back("a loss leaves protected items without room");
    return out;
}

}  // namespace mastline::packing
