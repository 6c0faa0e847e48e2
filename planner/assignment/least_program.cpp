// SPDX-License-Identifier: Apache-2.0
#include "planner/assignment/least_program.hpp"

#include <algorithm>

#include "planner/assignment/placement.hpp"
#include "planner/assignment/work_clock.hpp"

namespace mastline::packing {

namespace {

// Variables of a program that CBC makes something of in seconds.
constexpr std::size_t kMostVariables = 8'000;

Model without_reserve(Model model) {
    model.reserve = false;
    return model;
}

Model without_rates(Model model) {
    for (auto& bin : model.bins) bin.rate_limit.reset();
    std::erase_if(model.limits, [](const Limit& l) { return l.kind == Limit::Kind::rate; });
    return model;
}

bool has_rates(const Model& model) {
    return std::any_of(model.bins.begin(), model.bins.end(), [](const Bin& b) { return b.rate_limit; }) ||
           std::any_of(model.limits.begin(), model.limits.end(), [](const Limit& l) { return l.kind == Limit::Kind::rate; });
}

bool has_reserve(const Model& model) {
    return model.reserve && std::any_of(model.items.begin(), model.items.end(), [](const Item& i) { return i.is_protected; });
}

bool obeys(const Model& model, const Packing& packing) {
    return !packing.homes.empty() && broken_rules(model, packing.homes, packing.used).empty();
}

class Ladder {
public:
    Ladder(const Model& model, std::int64_t least, std::int64_t most, double seconds)
        : model_(model), most_(most), end_(WorkClock::in(seconds)) {
        best_.lower_bound = least;
    }

    Packing run() {
        const bool rates = has_rates(model_), reserve = has_reserve(model_);
        if (reserve) step(without_reserve(model_), 0.2);
        if (reserve && rates) step(without_rates(model_), 0.6);
        step(model_, 1);
        return std::move(best_);
    }

private:
    bool settled() const { return best_.verdict != Verdict::open; }

    // One program within a share of the time that is left.
    void step(const Model& relaxed, double share) {
        const double seconds = share * WorkClock::seconds_to(end_);
        if (settled() || seconds < 0.01 || program_variables(relaxed) > kMostVariables) return;
        auto found = pack_cheapest(relaxed, best_.lower_bound, most_, seconds);
        if (found.verdict == Verdict::impossible) return close();
        if (found.verdict == Verdict::packed) found.lower_bound = cost_of(found);
        best_.lower_bound = std::max(best_.lower_bound, found.lower_bound);
        // That the reserve holds is part of the whole program, which searches longer than the rules do.
        const bool whole = &relaxed == &model_;
        if (obeys(whole ? without_reserve(model_) : model_, found)) take(std::move(found));
    }

    std::int64_t cost_of(const Packing& packing) const {
        std::int64_t out = 0;
        for (const auto b : packing.used) out += model_.bins[b].cost;
        return out;
    }

    void take(Packing found) {
        most_ = cost_of(found) - 1;
        best_.homes = std::move(found.homes);
        best_.used = std::move(found.used);
        if (best_.lower_bound > most_) close();
    }

    // Nothing is left between the bound and what is known.
    void close() {
        best_.verdict = best_.homes.empty() ? Verdict::impossible : Verdict::packed;
        best_.lower_bound = most_ + 1;
    }

    const Model& model_;
    std::int64_t most_;
    WorkClock::time_point end_;
    Packing best_;
};

}  // namespace

Packing cheapest_by_program(const Model& model, std::int64_t least, std::int64_t most, double seconds) {
    return Ladder(model, least, most, seconds).run();
}

}  // namespace mastline::packing
