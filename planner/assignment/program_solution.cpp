// SPDX-License-Identifier: Apache-2.0
// From the figures that the solver found back to homes.
#include "planner/assignment/packing_program.hpp"

#include <cmath>
#include <map>

namespace mastline::packing {

Packing PackingProgram::solve(double seconds) {
    if (aim_ == Aim::any && program_.has_no_fractional_solution()) return {Verdict::impossible, {}, {}, 0};
    const auto outcome = program_.solve(seconds);
    if (outcome == IntegerProgram::Outcome::infeasible) return {Verdict::impossible, {}, {}, 0};
    if (outcome == IntegerProgram::Outcome::open) return {Verdict::open, {}, {}, lower_bound()};
    const bool settled = outcome == IntegerProgram::Outcome::optimal;
    return {settled ? Verdict::packed : Verdict::open, homes(), used(), lower_bound()};
}

std::int64_t PackingProgram::lower_bound() const {
    constexpr double tolerance = 1e-6;  // of CBC
    return aim_ == Aim::cheapest ? static_cast<std::int64_t>(std::ceil(program_.bound() - tolerance)) * unit_ : 0;
}

// Items of a group into bins as counted. Two copies: the places of each loss group stand in a
// row no longer than the group, so that place k and place k + size are never lost together.
std::vector<Homes> PackingProgram::homes() const {
    std::vector<Homes> out(model_.items.size());
    for (std::size_t g = 0; g < groups_.size(); ++g) {
        std::map<std::size_t, std::vector<std::size_t>> by_loss;
        for (std::size_t b = 0; b < bins_.size(); ++b)
            for (long n = x_[g][b] < 0 ? 0 : program_.value(x_[g][b]); n > 0; --n)
                by_loss[bin(b).loss_group].push_back(bins_[b]);
        std::vector<std::size_t> places;
        for (const auto& [loss, bins] : by_loss) places.insert(places.end(), bins.begin(), bins.end());
        const auto& items = groups_[g].items;
        for (std::size_t k = 0; k < places.size(); ++k) {
            auto& home = out[items[k % items.size()]];
            home[k / items.size()] = places[k];
        }
        for (const auto i : items) name_copies(out[i], sample(g));
    }
    return out;
}

// Which of the two is the first: the one that is where the first is asked for or was.
void PackingProgram::name_copies(Homes& homes, const Item& item) {
    if (!homes[1]) return;
    const auto& wanted = item.pinned[0] || item.pinned[1] ? item.pinned : item.previous;
    if (homes[1] == wanted[0] || homes[0] == wanted[1]) std::swap(homes[0], homes[1]);
}

std::vector<std::size_t> PackingProgram::used() const {
    std::vector<std::size_t> out;
    for (std::size_t b = 0; b < u_.size(); ++b)
        if (program_.value(u_[b]) == 1) out.push_back(bins_[b]);
    return out;
}

}  // namespace mastline::packing
