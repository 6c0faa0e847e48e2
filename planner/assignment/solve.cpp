// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <chrono>
#include <numeric>

#include "planner/assignment/choices.hpp"
#include "planner/assignment/exact.hpp"
#include "planner/assignment/parts.hpp"
#include "planner/assignment/realise.hpp"

namespace mastline::packing {

namespace {

using Clock = std::chrono::steady_clock;

struct Answer {
    Verdict verdict = Verdict::open;
    std::vector<Homes> homes;
    Ruling ruling;
    bool searched = false;
};

Placement placement_of(const Model& model, const std::vector<Homes>& homes) {
    Placement out(model);
    for (std::size_t i = 0; i < homes.size(); ++i)
        for (std::size_t copy = 0; copy < 2; ++copy)
            if (homes[i][copy]) out.put(i, copy, *homes[i][copy]);
    return out;
}

// One part: choices of bins from the cheapest, each ruled out or packed.
class PartSolver {
public:
    PartSolver(const Model& model, const Outline& outline, const Effort& effort, Clock::time_point end)
        : model_(model), outline_(outline), effort_(effort), end_(end) {
        for (const auto& c : outline.classes) classes_.push_back(c.fill);
    }

    std::pair<Part, std::vector<Homes>> run() {
        const auto choices = choices_of(outline_);
        Part part;
        part.lower_bound = choices.all ? 0 : least_cost(outline_);
        std::optional<std::int64_t> first_open;
        std::vector<Homes> homes;
        for (const auto& [choice, cost] : choices.all ? choices.in_order : descending_to_best(choices)) {
            auto answer = try_choice(choice);
            if (answer.verdict == Verdict::packed) {
                part.used = bins_of(outline_, choice);
                part.cost = cost;
                part.complete = true;
                homes = std::move(answer.homes);
                break;
            }
            if (answer.verdict == Verdict::open && !first_open) first_open = cost;
            note(part, answer, cost);
        }
        part.choices_ruled_out += choices.too_small;
        settle(part, choices, first_open);
        return {std::move(part), std::move(homes)};
    }

private:
    // Where not every choice is listed: from the roomiest down as long as they can be packed.
    std::vector<CostedChoice> descending_to_best(const Choices& choices) {
        std::vector<CostedChoice> out;
        for (auto at = choices.in_order.rbegin(); at != choices.in_order.rend(); ++at) {
            if (try_quickly(at->choice).verdict != Verdict::packed) break;
            out.assign(1, *at);
        }
        if (out.empty() && !choices.in_order.empty()) out.push_back(choices.in_order.back());
        return out;
    }

    void note(Part& part, Answer& answer, std::int64_t) {
        if (answer.verdict == Verdict::impossible) ++part.choices_ruled_out;
        if (answer.searched) ++part.searched;
        if (answer.ruling.reason != Reason::none) part.ruling = std::move(answer.ruling);
    }

    void settle(Part& part, const Choices& choices, std::optional<std::int64_t> first_open) {
        if (!part.complete) {
            part.proven = choices.all && !first_open;
            if (part.ruling.reason == Reason::none) part.ruling = rule_out(model_, outline_, everything());
            return;
        }
        if (choices.all) part.lower_bound = first_open.value_or(part.cost);
        part.proven = part.lower_bound >= part.cost;
        count_ruling(part, choices);
    }

    Choice everything() const {
        Choice out;
        for (const auto& type : outline_.types) out.push_back(type.count);
        return out;
    }

    // Where the roomiest of the cheaper choices fails by count, that says all.
    void count_ruling(Part& part, const Choices& choices) const {
        Room most;
        bool cheaper = false;
        for (const auto& [cost, room] : choices.most) {
            if (cost >= part.cost) break;
            cheaper = true;
            most.licences = std::max(most.licences, room.licences);
            most.tuners = std::max(most.tuners, room.tuners);
        }
        std::int64_t licences = 0, tuners = 0;
        for (const auto& c : classes_) licences += c.size, tuners += c.size > 0 ? 1 : 0;
        if (!cheaper) part.ruling = {};
        else if (most.licences < licences) part.ruling = {Reason::licences, licences, most.licences, {}, {}};
        else if (most.tuners < tuners) part.ruling = {Reason::tuners, tuners, most.tuners, {}, {}};
    }

    double seconds_left() const {
        return std::max(0.0, std::chrono::duration<double>(end_ - Clock::now()).count());
    }

    std::vector<FillType> types(const Choice& choice, int spare_licences = 0, int spare_tuners = 0) const {
        auto out = outline_.types;
        for (std::size_t t = 0; t < out.size(); ++t) {
            out[t].count = choice[t];
            out[t].licences = std::max(0, out[t].licences - spare_licences);
            out[t].tuners = std::max(0, out[t].tuners - spare_tuners);
        }
        return out;
    }

    Answer accept(const Filling& filling, const std::vector<std::size_t>& used) const {
        if (filling.verdict != Verdict::packed) return {};
        const auto placement = realise(model_, outline_, filling);
        if (!placement || (model_.reserve && !reserve_holds(*placement, used))) return {};
        return {Verdict::packed, placement->homes(), {}, false};
    }

    bool reserve_wanted() const {
        return model_.reserve && std::any_of(model_.items.begin(), model_.items.end(), [](const Item& i) { return i.is_protected; });
    }

    Answer try_quickly(const Choice& choice) const {
        const auto used = bins_of(outline_, choice);
        auto answer = accept(fill_quickly(types(choice), classes_, 60), used);
        if (answer.verdict == Verdict::packed || !reserve_wanted()) return answer;
        return try_with_reserve(choice, used);
    }

    // Room for a loss: one bin idle, or a little room in each.
    Answer try_with_reserve(const Choice& choice, const std::vector<std::size_t>& used) const {
        for (std::size_t t = 0; t < choice.size(); ++t) {
            if (choice[t] == 0) continue;
            Choice fewer = choice;
            --fewer[t];
            auto answer = accept(fill_quickly(types(fewer), classes_, 10), used);
            if (answer.verdict == Verdict::packed) return answer;
        }
        for (int tuners = 0; tuners < 4; ++tuners)
            for (int licences = 1; licences < 64; licences += 1 + licences / 8) {
                const auto filling = fill_quickly(types(choice, licences, tuners), classes_, 6);
                if (filling.verdict != Verdict::packed) break;
                auto answer = accept(filling, used);
                if (answer.verdict == Verdict::packed) return answer;
            }
        return {};
    }

    Answer try_choice(const Choice& choice) const {
        auto ruling = rule_out(model_, outline_, choice);
        if (ruling.reason != Reason::none) return {Verdict::impossible, {}, std::move(ruling), false};
        auto answer = try_quickly(choice);
        if (answer.verdict == Verdict::packed) return answer;
        const auto bins = bins_of(outline_, choice);
        const auto filling = fill_exhaustively(types(choice), classes_, effort_.nodes);
        if (filling.verdict == Verdict::impossible)
            return {Verdict::impossible, {}, {Reason::search, 0, 0, {}, bins}, true};
        answer = accept(filling, bins);
        if (answer.verdict == Verdict::packed) return answer;
        return arbitrate(bins);
    }

    Answer arbitrate(const std::vector<std::size_t>& bins) const {
        const double seconds = std::min(seconds_left(), effort_.seconds / 2);
        if (seconds < 0.01) return {Verdict::open, {}, {Reason::open, 0, 0, {}, bins}, true};
        auto packing = pack_exactly(model_, bins, seconds);
        const auto reason = packing.verdict == Verdict::impossible ? Reason::search
                            : packing.verdict == Verdict::open     ? Reason::open
                                                                   : Reason::none;
        return {packing.verdict, std::move(packing.homes), {reason, 0, 0, {}, bins}, true};
    }

    const Model& model_;
    const Outline& outline_;
    Effort effort_;
    Clock::time_point end_;
    std::vector<FillClass> classes_;
};

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
    if (outline) std::tie(part, homes) = PartSolver(model, *outline, effort, end).run();
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
