// SPDX-License-Identifier: Apache-2.0
#include "planner/signal/settings_program.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <numeric>
#include <tuple>

namespace mastline {

namespace {

using Kind = Unknown::Kind;
constexpr double kSeconds = 20;         // of one program; what is left open is said to be so
constexpr int kCureNodes = 100;          // a cure is a suggestion, not worth a long search
constexpr double kMostMargin = 1000;    // dB
constexpr double kRoundingRoom = 1e-5;  // dB: continuous values are rounded when written

using TermList = std::vector<std::pair<int, double>>;

// Unknowns of which at most one is taken: the pads of one place and lane, the taps of one device.
std::tuple<Kind, std::size_t, std::size_t> place_of(const Unknown& u) {
    return {u.kind, u.part, u.lane};
}

bool is_choice(const Unknown& u) { return u.kind == Kind::pad || u.kind == Kind::tap; }

int left_of(const Venue& venue, const OpenSettings& open, const Unknown& u) {
    if (u.kind == Kind::pad) return open.pads_left(u.stock);
    return venue.stock.taps[u.stock].count.value_or(std::numeric_limits<int>::max());
}

// The steps of a stepped unknown.
double steps(const Unknown& u) { return std::floor((u.high - u.low) / u.step + 1e-9); }

}  // namespace

// One program: unknowns by their variables, and the margin or miss.
struct SettingsProgram::Build {
    const SettingsProgram& of;
    SettingsGoal goal;
    IntegerProgram program;
    std::vector<int> variable;  // by unknown; -1: stays as it is
    int amount = -1;            // the variable of margin or miss

    Build(const SettingsProgram& settings, SettingsGoal g)
        : of(settings), goal(g), variable(settings.open_.unknowns().size(), -1) {}

    void add_unknown(std::size_t u) {
        const auto& unknown = of.open_.unknowns()[u];
        const double cost = goal == SettingsGoal::pads && unknown.kind == Kind::pad ? 1 : 0;
        variable[u] = unknown.step > 0 ? program.integer(0, steps(unknown), cost)
                                       : program.continuous(unknown.low, unknown.high, cost);
        if (goal != SettingsGoal::cure || unknown.cost <= 0) return;
        const double most = unknown.step > 0 ? steps(unknown) : unknown.high;
        const int changed = program.integer(0, 1, unknown.cost);
        program.at_most({{variable[u], 1}, {changed, -most}}, 0);
    }

    void add_choices(const std::vector<std::size_t>& free) {
        std::map<std::tuple<Kind, std::size_t, std::size_t>, TermList> places;
        std::map<std::pair<Kind, std::size_t>, std::pair<TermList, int>> stocks;
        for (const auto u : free) {
            const auto& unknown = of.open_.unknowns()[u];
            if (!is_choice(unknown)) continue;
            places[place_of(unknown)].emplace_back(variable[u], 1);
            auto& stock = stocks[{unknown.kind, unknown.stock}];
            stock.first.emplace_back(variable[u], 1);
            stock.second = left_of(of.venue_, of.open_, unknown);
        }
        for (const auto& [place, terms] : places)
            if (std::get<0>(place) == Kind::tap) program.equal(terms, 1);
            else program.at_most(terms, 1);
        for (const auto& [key, stock] : stocks)
            if (static_cast<int>(stock.first.size()) > stock.second)
                program.at_most(stock.first, stock.second);
    }

    // REQUIRES: `amount` is there for the goals margin and miss.
    void add_limit(const LevelLimit& limit, const std::vector<double>& values, double margin) {
        TermList terms;
        double most = limit.most;
        bool steps_only = true;
        for (const auto& [u, factor] : limit.factors) {
            const auto& unknown = of.open_.unknowns()[u];
            if (unknown.step <= 0) steps_only = false;
            if (variable[u] < 0) {
                most -= factor * values[u];
            } else if (unknown.step > 0) {
                most -= factor * unknown.low;
                terms.emplace_back(variable[u], factor * unknown.step);
            } else {
                terms.emplace_back(variable[u], factor);
            }
        }
        if (terms.empty()) return;
        if (goal == SettingsGoal::miss) terms.emplace_back(amount, -1);
        else if (!limit.of_window()) most -= margin < 0 ? margin : steps_only ? 0 : kRoundingRoom;
        else if (goal == SettingsGoal::margin) terms.emplace_back(amount, 1);
        else most -= margin;
        program.at_most(terms, most);
    }

    double value(std::size_t u) const {
        const auto& unknown = of.open_.unknowns()[u];
        if (unknown.step > 0)
            return unknown.low + unknown.step * static_cast<double>(program.value(variable[u]));
        const double rounded = std::round(program.real_value(variable[u]) * 1e6) / 1e6;
        return std::clamp(rounded, unknown.low, unknown.high) + 0.0;  // no minus zero
    }
};

SettingsProgram::SettingsProgram(const Venue& venue, const OpenSettings& open,
                                 const std::vector<LevelLimit>& limits)
    : venue_(venue), open_(open), limits_(limits) {}

SettingsAnswer SettingsProgram::solve(const std::vector<std::size_t>& free,
                                      const std::vector<double>& values, SettingsGoal goal,
                                      double margin) const {
    Build build(*this, goal);
    for (const auto u : free) build.add_unknown(u);
    if (goal == SettingsGoal::margin) build.amount = build.program.continuous(0, kMostMargin, -1);
    if (goal == SettingsGoal::miss) build.amount = build.program.continuous(0, kMostMargin, 1);
    build.add_choices(free);
    for (const auto& limit : limits_) build.add_limit(limit, values, margin);
    SettingsAnswer out;
    out.values = values;
    out.outcome = build.program.solve(kSeconds, goal == SettingsGoal::cure ? kCureNodes : 0);
    using Outcome = IntegerProgram::Outcome;
    if (out.outcome != Outcome::optimal && out.outcome != Outcome::feasible) return out;
    for (const auto u : free) {
        out.values[u] = build.value(u);
        if (goal == SettingsGoal::pads && open_.unknowns()[u].kind == Kind::pad)
            out.amount += out.values[u];
    }
    if (build.amount >= 0) out.amount = build.program.real_value(build.amount);
    return out;
}

std::vector<std::vector<std::size_t>> SettingsProgram::groups(
    const std::vector<std::size_t>& free) const {
    std::vector<std::size_t> leader(open_.unknowns().size());
    std::iota(leader.begin(), leader.end(), 0U);
    const auto find = [&](std::size_t u) {
        while (leader[u] != u) u = leader[u] = leader[leader[u]];
        return u;
    };
    const auto join = [&](std::size_t a, std::size_t b) {
        a = find(a), b = find(b);
        leader[std::max(a, b)] = std::min(a, b);
    };
    std::vector<bool> is_free(leader.size());
    for (const auto u : free) is_free[u] = true;
    std::map<std::tuple<Kind, std::size_t, std::size_t>, std::size_t> places;
    for (const auto u : free)
        if (is_choice(open_.unknowns()[u]))
            join(u, places.try_emplace(place_of(open_.unknowns()[u]), u).first->second);
    for (const auto& limit : limits_) {
        std::optional<std::size_t> first;
        for (const auto& [u, factor] : limit.factors) {
            if (!is_free[u]) continue;
            if (first) join(*first, u);
            else first = u;
        }
    }
    std::map<std::size_t, std::vector<std::size_t>> by_leader;
    for (const auto u : free) by_leader[find(u)].push_back(u);
    std::vector<std::vector<std::size_t>> out;
    for (auto& [first, group] : by_leader) out.push_back(std::move(group));
    return out;
}

bool SettingsProgram::within_stock(const std::vector<double>& values) const {
    std::map<std::pair<Kind, std::size_t>, int> taken;
    for (std::size_t u = 0; u < values.size(); ++u) {
        const auto& unknown = open_.unknowns()[u];
        if (is_choice(unknown) && values[u] > 0.5 &&
            ++taken[{unknown.kind, unknown.stock}] > left_of(venue_, open_, unknown))
            return false;
    }
    return true;
}

double SettingsProgram::miss(const LevelLimit& limit, const std::vector<double>& values) const {
    double sum = -limit.most;
    for (const auto& [u, factor] : limit.factors) sum += factor * values[u];
    return sum;
}

bool SettingsProgram::has_window(const std::vector<std::size_t>& free) const {
    return std::any_of(limits_.begin(), limits_.end(), [&](const LevelLimit& limit) {
        return limit.of_window() &&
               std::any_of(limit.factors.begin(), limit.factors.end(), [&](const auto& f) {
                   return std::binary_search(free.begin(), free.end(), f.first);
               });
    });
}

}  // namespace mastline
