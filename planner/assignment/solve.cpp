// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <chrono>
#include <numeric>

#include "planner/assignment/exact.hpp"
#include "planner/assignment/part_solver.hpp"
#include "planner/assignment/parts.hpp"
#include "planner/assignment/realise.hpp"

namespace mastline::packing {

namespace {

using Clock = std::chrono::steady_clock;

Placement placement_of(const Model& model, const std::vector<Homes>& homes) {
    Placement out(model);
    for (std::size_t i = 0; i < homes.size(); ++i)
        for (std::size_t copy = 0; copy < 2; ++copy)
            if (homes[i][copy]) out.put(i, copy, *homes[i][copy]);
    return out;
}

std::vector<std::size_t> all_bins(const Model& model) {
    std::vector<std::size_t> out(model.bins.size());
    std::iota(out.begin(), out.end(), std::size_t{0});
    return out;
}

// As many bins as the limits on their number let be used, cheap ones first.
std::vector<std::size_t> bins_within_limits(const Model& model) {
    auto order = all_bins(model);
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        return model.bins[a].cost < model.bins[b].cost;
    });
    std::vector<std::size_t> out;
    for (const auto bin : order) {
        out.push_back(bin);
        const bool over = std::any_of(model.limits.begin(), model.limits.end(), [&](const Limit& l) {
            const auto n = std::count_if(l.bins.begin(), l.bins.end(), [&](std::size_t b) {
                return std::find(out.begin(), out.end(), b) != out.end();
            });
            return l.kind == Limit::Kind::bins && n > l.most;
        });
        if (over) out.pop_back();
    }
    std::sort(out.begin(), out.end());
    return out;
}

// Not everything fits: as much as there is room for.
std::vector<Homes> most_of(const Model& model, Part& part, double seconds) {
    part.used = bins_within_limits(model);
    auto packing = seconds > 0.05 ? pack_most(model, part.used, seconds) : Packing{};
    Placement placement = placement_of(model, packing.homes.empty() ? std::vector<Homes>(model.items.size())
                                                                    : packing.homes);
    place_rest(placement, part.used);
    std::erase_if(part.used, [&](std::size_t b) { return placement.in_bin(b) == 0; });
    for (const auto b : part.used) part.cost += model.bins[b].cost;
    return placement.homes();
}

std::pair<Part, std::vector<Homes>> solve_part(const Model& model, const Effort& effort, Clock::time_point end) {
    const auto outline = outline_of(model);
    Part part;
    std::vector<Homes> homes;
    if (outline) std::tie(part, homes) = cheapest(model, *outline, effort, end);
    if (!part.complete) {
        homes = most_of(model, part, std::min(3.0, std::chrono::duration<double>(end - Clock::now()).count()));
        return {std::move(part), std::move(homes)};
    }
    Placement placement = placement_of(model, homes);
    improve(placement, part.used, true);
    return {std::move(part), placement.homes()};
}

int moves_of(const Model& model, const std::vector<Homes>& homes) {
    int out = 0;
    for (std::size_t i = 0; i < homes.size(); ++i)
        if (model.items[i].previous && homes[i][0] != model.items[i].previous) ++out;
    return out;
}

Model pinned_where_kept(const Model& model, const std::vector<Homes>* homes) {
    Model out = model;
    for (std::size_t i = 0; i < out.items.size(); ++i)
        if (out.items[i].previous && (homes == nullptr || (*homes)[i][0] == out.items[i].previous))
            out.items[i].pinned = out.items[i].previous;
    return out;
}

// All previous items stay if that can be; else the fewest that must move do, and the others stay.
std::pair<Part, std::vector<Homes>> keep_part(const Model& model, const Effort& effort, Clock::time_point end) {
    auto all_kept = solve_part(pinned_where_kept(model, nullptr), effort, end);
    if (all_kept.first.complete) return all_kept;
    const double seconds = std::min(effort.seconds / 2, std::chrono::duration<double>(end - Clock::now()).count());
    const auto least = pack_keeping(model, bins_within_limits(model), std::max(0.1, seconds));
    if (least.homes.empty()) return solve_part(model, effort, end);
    auto out = solve_part(pinned_where_kept(model, &least.homes), effort, end);
    out.first.moves = moves_of(model, out.second);
    out.first.fewest_moves = least.verdict == Verdict::packed;
    return out;
}

template <class SolvePart>
Solution solve_parts(const Model& model, SolvePart&& one) {
    Solution out;
    out.homes.resize(model.items.size());
    for (auto& part : parts_of(model)) {
        auto [solved, homes] = one(part.model);
        for (std::size_t i = 0; i < homes.size(); ++i)
            for (std::size_t copy = 0; copy < 2; ++copy)
                if (homes[i][copy]) out.homes[part.items[i]][copy] = part.bins[*homes[i][copy]];
        for (auto& b : solved.used) b = part.bins[b];
        for (auto& b : solved.ruling.bins) b = part.bins[b];
        for (auto& c : solved.ruling.classes) c = part.classes[c];
        solved.items = std::move(part.items);
        solved.bins = std::move(part.bins);
        out.parts.push_back(std::move(solved));
    }
    return out;
}

Clock::time_point deadline(const Effort& effort) {
    return Clock::now() + std::chrono::duration_cast<Clock::duration>(std::chrono::duration<double>(effort.seconds));
}

}  // namespace

bool Solution::complete() const {
    return std::all_of(parts.begin(), parts.end(), [](const Part& p) { return p.complete; });
}

bool Solution::proven() const {
    return std::all_of(parts.begin(), parts.end(), [](const Part& p) { return p.proven; });
}

std::int64_t Solution::cost() const {
    return std::accumulate(parts.begin(), parts.end(), std::int64_t{0},
                           [](std::int64_t sum, const Part& p) { return sum + p.cost; });
}

int Solution::moves() const {
    return std::accumulate(parts.begin(), parts.end(), 0, [](int sum, const Part& p) { return sum + p.moves; });
}

std::vector<std::size_t> Solution::used() const {
    std::vector<std::size_t> out;
    for (const auto& part : parts) out.insert(out.end(), part.used.begin(), part.used.end());
    std::sort(out.begin(), out.end());
    return out;
}

Solution solve(const Model& model, const Effort& effort) {
    const auto end = deadline(effort);
    return solve_parts(model, [&](const Model& part) { return solve_part(part, effort, end); });
}

Solution solve_keeping(const Model& model, const Effort& effort) {
    const auto end = deadline(effort);
    return solve_parts(model, [&](const Model& part) { return keep_part(part, effort, end); });
}

}  // namespace mastline::packing
