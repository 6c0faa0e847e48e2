// SPDX-License-Identifier: Apache-2.0
#include "mastline/signal/find_settings.hpp"

#include <algorithm>

#include "planner/signal/cheapest_cure.hpp"
#include "planner/signal/settings_program.hpp"

namespace mastline {

namespace {

using Group = std::vector<std::size_t>;  // unknowns that are sought together
using Kind = Unknown::Kind;
using Outcome = IntegerProgram::Outcome;

constexpr double kRounding = 1e-5;  // dB that the greatest margin may be short of

bool solved(const SettingsAnswer& answer) {
    return answer.outcome == Outcome::optimal || answer.outcome == Outcome::feasible;
}

class Search {
public:
    Search(const Venue& venue, const OpenSettings& open, const std::vector<LevelLimit>& limits)
        : open_(open), limits_(limits), program_(venue, open, limits) {
        values_.assign(open.unknowns().size(), 0);
        for (std::size_t u = 0; u < values_.size(); ++u) {
            const auto& unknown = open.unknowns()[u];
            if (unknown.kind == Kind::trim) values_[u] = std::clamp(0.0, unknown.low, unknown.high);
        }
    }

    void run() {
        const auto groups = worth_seeking();
        seek(groups);
        // Each group by itself had the whole stock: what they take together may be more.
        if (!program_.within_stock(values_)) {
            Group all;
            for (const auto& group : groups) all.insert(all.end(), group.begin(), group.end());
            std::sort(all.begin(), all.end());
            seek({all});
        }
        refine({Kind::trim, Kind::slope});
        refine({Kind::trim});
    }

    const std::vector<double>& values() const { return values_; }
    bool proven() const { return proven_; }
    std::optional<double> margin() const { return margin_; }  // negative: missed by
    double miss(const LevelLimit& limit) const { return program_.miss(limit, values_); }

private:
    // Groups whose settings matter: not those that already keep every limit and have no window.
    std::vector<Group> worth_seeking() const {
        Group all;
        for (std::size_t u = 0; u < values_.size(); ++u) all.push_back(u);
        auto groups = program_.groups(all);
        std::erase_if(groups, [&](const Group& group) {
            return !program_.has_window(group) && !has_tap(group) && keeps_limits(group);
        });
        return groups;
    }
    bool has_tap(const Group& group) const {
        return std::any_of(group.begin(), group.end(), [&](std::size_t u) {
            return open_.unknowns()[u].kind == Kind::tap;
        });
    }
    bool keeps_limits(const Group& group) const {
        return std::all_of(limits_.begin(), limits_.end(), [&](const LevelLimit& limit) {
            return miss(limit) <= 0 || std::none_of(limit.factors.begin(), limit.factors.end(), [&](const auto& f) {
                       return std::binary_search(group.begin(), group.end(), f.first);
                   });
        });
    }

    void seek(const std::vector<Group>& groups) {
        proven_ = true;
        std::vector<std::optional<double>> margins;
        std::optional<double> kept;  // the least of those that can be kept
        margin_.reset();
        for (const auto& group : groups) {
            margins.push_back(best_margin(group));
            if (!margins.back()) continue;
            margin_ = std::min(margin_.value_or(*margins.back()), *margins.back());
            if (*margins.back() >= 0) kept = std::min(kept.value_or(*margins.back()), *margins.back());
        }
        for (std::size_t g = 0; g < groups.size(); ++g) {
            const double own = margins[g].value_or(0);
            fewest_pads(groups[g], own < 0 ? own : margins[g] ? *kept : 0);
        }
    }

    // The greatest margin of a group, negative where limits have to be missed; none without windows.
    std::optional<double> best_margin(const Group& group) {
        if (program_.has_window(group)) {
            const auto answer = program_.solve(group, values_, SettingsGoal::margin);
            if (take(answer)) return answer.amount;
        } else {
            const auto answer = program_.solve(group, values_, SettingsGoal::pads);
            if (take(answer)) return std::nullopt;
        }
        const auto answer = program_.solve(group, values_, SettingsGoal::miss);
        if (!take(answer)) proven_ = false;
        return -answer.amount;
    }

    void fewest_pads(const Group& group, double margin) {
        if (std::none_of(group.begin(), group.end(), [&](std::size_t u) {
                return open_.unknowns()[u].kind == Kind::pad;
            }))
            return;
        take(program_.solve(group, values_, SettingsGoal::pads, margin - kRounding));
    }

    bool take(const SettingsAnswer& answer) {
        if (answer.outcome != Outcome::optimal && answer.outcome != Outcome::infeasible)
            proven_ = false;
        if (!solved(answer)) return false;
        values_ = answer.values;
        return true;
    }

    // Seeks the settings of some kinds anew, the others as found: what they share no longer binds
    // them together, and each group gets what is left to it.
    void refine(std::initializer_list<Kind> kinds) {
        Group free;
        for (std::size_t u = 0; u < values_.size(); ++u)
            if (std::find(kinds.begin(), kinds.end(), open_.unknowns()[u].kind) != kinds.end())
                free.push_back(u);
        for (const auto& group : program_.groups(free))
            if (program_.has_window(group)) best_margin(group);
    }

    const OpenSettings& open_;
    const std::vector<LevelLimit>& limits_;
    SettingsProgram program_;
    std::vector<double> values_;
    std::optional<double> margin_;
    bool proven_ = true;
};

std::string subject_of(const Chain& chain, std::size_t v) {
    const auto& visit = chain.visits()[v];
    return to_text(chain.ports()[visit.port].ref) + " lane " + std::to_string(visit.conductor) + " (" +
           to_text(chain.lane(visit)) + ")";
}

std::string limit_text(LevelLimit::Kind kind) {
    switch (kind) {
        case LevelLimit::Kind::window_low: return "stay below the low end of its window";
        case LevelLimit::Kind::window_high: return "stay above the high end of its window";
        case LevelLimit::Kind::amplifier: return "stay above the greatest output of the amplifier";
        default: return "keep more slope than the card allows";
    }
}

const Place& place_of(const Chain& chain, std::size_t v) {
    const auto& port = chain.ports()[chain.visits()[v].port];
    return port.kind == NodeKind::card ? chain.venue().cards[port.node].place
                                       : chain.device(port).place;
}

// Names the limit that is missed most, and how many others are missed.
void report_missed(const Chain& chain, const OpenSettings& open, const Search& search,
                   const std::vector<LevelLimit>& limits, Findings& findings) {
    const LevelLimit* worst = nullptr;
    std::vector<std::size_t> visits;
    for (const auto& limit : limits) {
        if (search.miss(limit) <= kRounding) continue;
        visits.push_back(limit.visit);
        if (worst == nullptr || search.miss(limit) > search.miss(*worst) + kRounding) worst = &limit;
    }
    if (worst == nullptr) return;
    std::sort(visits.begin(), visits.end());
    visits.erase(std::unique(visits.begin(), visits.end()), visits.end());
    std::string what = "whatever is set and fitted, its levels " + limit_text(worst->kind);
    if (visits.size() > 1)
        what += ", or those of " + std::to_string(visits.size() - 1) + " more inputs do like it";
    findings.push_back({Severity::error, "settings.impossible", subject_of(chain, worst->visit), what,
                        to_text(Gain::db(search.miss(*worst))), cheapest_cure(chain, open, visits),
                        place_of(chain, worst->visit)});
}

}  // namespace

FoundSettings find_settings(const Venue& venue, Findings& findings) {
    const OpenSettings open(venue);
    if (open.empty()) return {given_choices(venue), {}, 0};
    const Chain chain(venue);
    const Levels levels(chain, open.base());
    const auto& unknowns = open.unknowns();
    const auto limits = level_limits(chain, levels, unknowns, level_terms(chain, levels, unknowns));
    Search search(venue, open, limits);
    search.run();
    report_missed(chain, open, search, limits, findings);
    if (!search.proven())
        findings.push_back({Severity::warning, "settings.not-proven", {},
                            "the time for the search ran out: other settings may be better", {},
                            "give some trims, slopes, pads or taps", {}});
    FoundSettings out{open.choices(venue, search.values()), {}, 0};
    if (search.margin()) out.margin = Gain::db(*search.margin());
    for (std::size_t u = 0; u < unknowns.size(); ++u)
        out.pads += unknowns[u].kind == Kind::pad && search.values()[u] > 0.5 ? 1 : 0;
    return out;
}

}  // namespace mastline
