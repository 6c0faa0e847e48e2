// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <map>
#include <numeric>

#include "planner/assignment/least_program.hpp"
#include "planner/assignment/part_solver.hpp"
#include "planner/assignment/parts.hpp"
#include "planner/assignment/realise.hpp"
#include "planner/assignment/work_clock.hpp"

namespace mastline::packing {

namespace {

// Items times bins that the integer program takes in its stride.
constexpr std::size_t kSmall = 4'000;

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

std::int64_t cost_of(const Model& model, const std::vector<std::size_t>& bins) {
    return std::accumulate(bins.begin(), bins.end(), std::int64_t{0},
                           [&](std::int64_t sum, std::size_t b) { return sum + model.bins[b].cost; });
}

// Not everything fits: as much as there is room for.
std::vector<Homes> most_of(const Model& model, Part& part, double seconds) {
    part.used = bins_within_limits(model);
    auto packing = seconds > 0.05 ? pack_most(model, part.used, seconds) : Packing{};
    Placement placement = placement_of(model, packing.homes.empty() ? std::vector<Homes>(model.items.size())
                                                                    : packing.homes);
    place_rest(placement, part.used);
    std::erase_if(part.used, [&](std::size_t b) { return placement.in_bin(b) == 0; });
    part.cost = cost_of(model, part.used);
    return placement.homes();
}

// Where more kinds of bins are about than the counts can tell apart.
std::pair<Part, std::vector<Homes>> by_program_alone(const Model& model, WorkClock::time_point end) {
    auto found = cheapest_by_program(model, 0, cost_of(model, all_bins(model)), 0.7 * WorkClock::seconds_to(end));
    Part part;
    part.complete = !found.homes.empty();
    part.proven = part.by_program = found.verdict != Verdict::open;
    part.used = std::move(found.used);
    part.cost = cost_of(model, part.used);
    part.lower_bound = found.lower_bound;
    part.ruling.reason = part.proven ? Reason::search : Reason::open;
    return {std::move(part), std::move(found.homes)};
}

std::pair<Part, std::vector<Homes>> solve_part(const Model& model, const Effort& effort, WorkClock::time_point end) {
    const auto outline = outline_of(model);
    Part part;
    std::vector<Homes> homes;
    if (outline) std::tie(part, homes) = cheapest(model, *outline, effort, end);
    else std::tie(part, homes) = by_program_alone(model, end);
    if (!part.complete) {
        homes = most_of(model, part, std::min(3.0, WorkClock::seconds_to(end)));
        return {std::move(part), std::move(homes)};
    }
    Placement placement = placement_of(model, homes);
    improve(placement, part.used, true);
    return {std::move(part), placement.homes()};
}

int moved(const Item& item, const Homes& homes) {
    int out = 0;
    for (std::size_t copy = 0; copy < 2; ++copy) out += item.previous[copy] && homes[copy] != item.previous[copy];
    return out;
}

int moves_of(const Model& model, const std::vector<Homes>& homes) {
    int out = 0;
    for (std::size_t i = 0; i < homes.size(); ++i) out += moved(model.items[i], homes[i]);
    return out;
}

// Copies are to stay where they are, as far as `homes` (all, if none) have them there.
Model pinned_where_kept(const Model& model, const std::vector<Homes>* homes) {
    Model out = model;
    for (std::size_t i = 0; i < out.items.size(); ++i)
        for (std::size_t copy = 0; copy < 2; ++copy) {
            auto& item = out.items[i];
            const auto& previous = item.previous[copy];
            if (!previous || item.pinned[copy] || !model.allowed[item.item_class][*previous]) continue;
            if (homes == nullptr || (*homes)[i][copy] == previous) item.pinned[copy] = previous;
        }
    return out;
}

using Outcome = std::pair<Part, std::vector<Homes>>;

Outcome with_moves(const Model& model, Outcome outcome, bool fewest) {
    outcome.first.moves = moves_of(model, outcome.second);
    outcome.first.fewest_moves = fewest;
    return outcome;
}

// The fewest moves by the integer program.
std::optional<Outcome> moved_exactly(const Model& model, double seconds) {
    if (seconds < 0.05) return std::nullopt;
    const auto least = pack_keeping(model, all_bins(model), seconds);
    if (least.homes.empty()) return std::nullopt;
    Placement placement = placement_of(model, least.homes);
    if (!placement.complete()) return std::nullopt;
    Outcome out;
    out.first.used = least.used;
    out.first.complete = true;
    out.first.cost = cost_of(model, least.used);
    improve(placement, least.used, true);
    out.second = placement.homes();
    return with_moves(model, std::move(out), least.verdict == Verdict::packed);
}

// What has to leave a bin by its own licences and tuners goes, from the smallest classes; all else stays.
std::vector<Homes> without_surplus(const Model& model) {
    std::vector<std::map<std::size_t, std::vector<std::pair<std::size_t, std::size_t>>>> held(model.bins.size());
    std::vector<Homes> out(model.items.size());
    for (std::size_t i = 0; i < model.items.size(); ++i)
        for (std::size_t copy = 0; copy < 2; ++copy) {
            const auto& item = model.items[i];
            if (const auto b = item.previous[copy]; b && model.allowed[item.item_class][*b])
                held[*b][item.item_class].emplace_back(i, copy);
        }
    for (std::size_t b = 0; b < held.size(); ++b) {
        std::vector<std::vector<std::pair<std::size_t, std::size_t>>> classes;
        for (auto& [c, copies] : held[b]) classes.push_back(std::move(copies));
        std::stable_sort(classes.begin(), classes.end(), [](const auto& x, const auto& y) { return x.size() > y.size(); });
        classes.resize(std::min(classes.size(), static_cast<std::size_t>(std::max(0, model.bins[b].tuners))));
        int licences = model.bins[b].licences;
        for (const auto& copies : classes)
            for (const auto& [i, copy] : copies)
                if (licences-- > 0) out[i][copy] = b;
    }
    return out;
}

// All that can stay does, if that can be. Else the fewest that must move do: as few as each bin's own
// licences and tuners force out, where that is enough; else as the integer program finds.
Outcome keep_part(const Model& model, const Effort& effort, WorkClock::time_point end) {
    auto all_kept = solve_part(pinned_where_kept(model, nullptr), effort, end);
    if (all_kept.first.complete) return with_moves(model, std::move(all_kept), true);
    const double seconds = std::min(effort.seconds / 2, WorkClock::seconds_to(end));
    std::optional<Outcome> exact;
    if (model.items.size() * model.bins.size() <= kSmall) exact = moved_exactly(model, seconds);
    if (exact && exact->first.fewest_moves) return *exact;
    const auto least = without_surplus(model);
    auto forced = solve_part(pinned_where_kept(model, &least), effort, end);
    if (forced.first.complete) {
        auto out = with_moves(model, std::move(forced), false);
        out.first.fewest_moves = out.first.moves == moves_of(model, least);
        if (out.first.fewest_moves || !exact || out.first.moves <= exact->first.moves) return out;
    }
    if (!exact) exact = moved_exactly(model, seconds);
    return exact ? *exact : with_moves(model, solve_part(model, effort, end), false);
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
    const auto end = WorkClock::in(effort.seconds);
    return solve_parts(model, [&](const Model& part) { return solve_part(part, effort, end); });
}

std::pair<int, bool> moves_into(const Model& model, const Solution& cheaper) {
    constexpr double seconds = 1;  // the figure of a note
    const auto used = cheaper.used();
    if (model.items.size() * used.size() <= kSmall)
        if (const auto least = pack_keeping(model, used, seconds); !least.homes.empty())
            return {moves_of(model, least.homes), least.verdict == Verdict::packed};
    return {moves_of(model, cheaper.homes), false};
}

Solution solve_keeping(const Model& model, const Effort& effort) {
    const auto end = WorkClock::in(effort.seconds);
    auto out = solve_parts(model, [&](const Model& part) { return keep_part(part, effort, end); });
    for (auto& part : out.parts) {  // an item whose source reaches another part's bins now has left its own
        part.moves = 0;
        for (const auto i : part.items) part.moves += moved(model.items[i], out.homes[i]);
    }
    return out;
}

}  // namespace mastline::packing
