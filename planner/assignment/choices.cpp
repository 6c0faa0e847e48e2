// SPDX-License-Identifier: Apache-2.0
#include "planner/assignment/choices.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace mastline::packing {

namespace {

constexpr double kMostChoices = 300'000;

struct Need {
    std::int64_t licences = 0, tuners = 0;
};

struct Sized {
    CostedChoice costed;
    std::int64_t licences = 0, tuners = 0;
};

Need need_of(const Outline& outline) {
    Need out;
    for (const auto& c : outline.classes) {
        out.licences += c.fill.size;
        out.tuners += c.fill.size > 0 ? 1 : 0;
    }
    return out;
}

Sized sized(const Outline& outline, const Choice& choice) {
    Sized out;
    out.costed.choice = choice;
    for (std::size_t t = 0; t < choice.size(); ++t) {
        out.costed.cost += choice[t] * outline.cost[t];
        out.licences += static_cast<std::int64_t>(choice[t]) * outline.types[t].licences;
        out.tuners += static_cast<std::int64_t>(choice[t]) * outline.types[t].tuners;
    }
    return out;
}

// From all bins down to none, the dearest or emptiest given up first: a few choices where all of
// them would be too many.
std::vector<Choice> descending(const Outline& outline) {
    Choice choice;
    for (const auto& type : outline.types) choice.push_back(type.count);
    std::vector<Choice> out{choice};
    for (;;) {
        std::size_t worst = choice.size();
        const auto price = [&](std::size_t t) {
            return std::pair(outline.cost[t], -outline.types[t].licences);
        };
        for (std::size_t t = 0; t < choice.size(); ++t)
            if (choice[t] > (outline.forced[t] ? 1 : 0) && (worst == choice.size() || price(t) > price(worst)))
                worst = t;
        if (worst == choice.size()) return out;
        --choice[worst];
        out.push_back(choice);
    }
}

// The next in the order of an odometer; false after the last.
bool advance(const Outline& outline, Choice& choice) {
    for (std::size_t t = 0; t < choice.size(); ++t) {
        if (choice[t] < outline.types[t].count) return ++choice[t], true;
        choice[t] = outline.forced[t] ? 1 : 0;
    }
    return false;
}

template <class F>
void for_every(const Outline& outline, F&& f) {
    Choice choice;
    for (const bool forced : outline.forced) choice.push_back(forced ? 1 : 0);
    do f(choice);
    while (advance(outline, choice));
}

bool few(const Outline& outline) {
    double product = 1;
    for (std::size_t t = 0; t < outline.types.size(); ++t)
        product *= outline.types[t].count + (outline.forced[t] ? 0 : 1);
    return product <= kMostChoices;
}

}  // namespace

Choices choices_of(const Outline& outline) {
    Choices out;
    out.all = few(outline);
    const Need need = need_of(outline);
    std::vector<Sized> fit;
    const auto sift = [&](const Choice& choice) {
        auto s = sized(outline, choice);
        auto& most = out.most[s.costed.cost];
        most.licences = std::max(most.licences, s.licences);
        most.tuners = std::max(most.tuners, s.tuners);
        if (s.licences < need.licences || s.tuners < need.tuners) ++out.too_small;
        else fit.push_back(std::move(s));
    };
    if (out.all) for_every(outline, sift);
    else for (const auto& choice : descending(outline)) sift(choice);
    std::stable_sort(fit.begin(), fit.end(), [](const Sized& a, const Sized& b) {
        return std::tuple(a.costed.cost, -a.licences, -a.tuners, b.costed.choice) <
               std::tuple(b.costed.cost, -b.licences, -b.tuners, a.costed.choice);
    });
    for (auto& s : fit) out.in_order.push_back(std::move(s.costed));
    return out;
}

std::int64_t least_cost(const Outline& outline) {
    const Need need = need_of(outline);
    const auto fractional = [&](std::int64_t wanted, auto&& size) {
        std::vector<std::size_t> order(outline.types.size());
        std::iota(order.begin(), order.end(), std::size_t{0});
        std::erase_if(order, [&](std::size_t t) { return size(t) <= 0; });
        std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
            return outline.cost[a] * size(b) < outline.cost[b] * size(a);
        });
        double cost = 0;
        for (const auto t : order) {
            const auto room = size(t) * outline.types[t].count;
            const auto taken = std::min(wanted, room);
            cost += static_cast<double>(outline.cost[t]) * static_cast<double>(taken) / static_cast<double>(size(t));
            wanted -= taken;
        }
        return static_cast<std::int64_t>(std::ceil(cost - 1e-6));
    };
    return std::max(fractional(need.licences, [&](std::size_t t) { return std::int64_t{outline.types[t].licences}; }),
                    fractional(need.tuners, [&](std::size_t t) { return std::int64_t{outline.types[t].tuners}; }));
}

}  // namespace mastline::packing
