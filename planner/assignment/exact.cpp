// SPDX-License-Identifier: Apache-2.0
#include "planner/assignment/exact.hpp"

#include <numeric>
#include <set>

#include "planner/assignment/packing_program.hpp"

namespace mastline::packing {

std::size_t program_variables(const Model& model) {
    std::set<std::size_t> losses;
    for (const auto& bin : model.bins) losses.insert(bin.loss_group);
    std::size_t rows = model.allowed.size();
    for (const auto& group : groups_of(model)) {
        const bool rehomed = model.reserve && model.items[group.items.front()].is_protected;
        rows += 1 + (rehomed ? losses.size() : 0);
    }
    return rows * model.bins.size();
}

Packing pack_cheapest(const Model& model, std::int64_t least, std::int64_t most, double seconds) {
    std::vector<std::size_t> bins(model.bins.size());
    std::iota(bins.begin(), bins.end(), std::size_t{0});
    PackingProgram program(model, bins, Aim::cheapest);
    program.cost_between(least, most);
    return program.solve(seconds);
}

Packing pack_received(const Model& model, const std::vector<std::size_t>& bins,
                      const std::vector<std::vector<bool>>& received, double seconds) {
    return PackingProgram(model, bins, Aim::any, &received).solve(seconds);
}

Packing pack_most(const Model& model, const std::vector<std::size_t>& bins, double seconds) {
    return PackingProgram(model, bins, Aim::place_most).solve(seconds);
}

Packing pack_keeping(const Model& model, const std::vector<std::size_t>& bins, double seconds) {
    return PackingProgram(model, bins, Aim::keep).solve(seconds);
}

}  // namespace mastline::packing
