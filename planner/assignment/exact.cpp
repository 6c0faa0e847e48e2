// SPDX-License-Identifier: Apache-2.0
#include "planner/assignment/exact.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <numeric>
#include <set>
#include <tuple>

#include "planner/assignment/bin_types.hpp"
#include "planner/assignment/integer_program.hpp"

namespace mastline::packing {

namespace {

using Terms = std::vector<std::pair<int, double>>;

enum class Aim { cheapest, place_most, keep };

// Items that no rule tells apart; counted, not named, in the program.
struct Group {
    std::vector<std::size_t> items;
    std::size_t item_class = 0;
};

bool rates_matter(const Model& model) {
    const auto rate_limited = [](const Limit& l) { return l.kind == Limit::Kind::rate; };
    return std::any_of(model.bins.begin(), model.bins.end(), [](const Bin& b) { return b.rate_limit; }) ||
           std::any_of(model.limits.begin(), model.limits.end(), rate_limited);
}

std::vector<Group> groups_of(const Model& model) {
    std::set<std::size_t> single;
    for (const auto& [a, b] : model.apart) single.insert({a, b});
    const bool by_rate = rates_matter(model);
    using Key = std::tuple<std::size_t, bool, int, std::size_t, std::size_t, std::size_t, std::size_t, std::size_t,
                           std::array<std::int64_t, 2>, std::size_t>;
    std::map<Key, Group> found;
    for (std::size_t i = 0; i < model.items.size(); ++i) {
        const auto& item = model.items[i];
        const auto number = [](const std::optional<std::size_t>& o) { return o ? *o + 1 : 0; };
        auto& group = found[{item.item_class, item.is_protected, item.copies, number(item.pinned[0]), number(item.pinned[1]),
                             number(item.previous[0]), number(item.previous[1]), number(item.genre),
                             by_rate ? item.rate : std::array<std::int64_t, 2>{},
                             single.contains(i) ? i + 1 : 0}];
        group.items.push_back(i);
        group.item_class = item.item_class;
    }
    std::vector<Group> out;
    for (auto& [key, group] : found) out.push_back(std::move(group));
    return out;
}

class Program {
public:
    Program(const Model& model, const std::vector<std::size_t>& bins, Aim aim)
        : model_(model), bins_(bins), aim_(aim), groups_(groups_of(model)) {
        if (aim_ != Aim::place_most) add_uses();
        add_variables();
        add_homes();
        for (std::size_t b = 0; b < bins_.size(); ++b) add_bin(b);
        for (const auto& limit : model_.limits) add_limit(limit);
        add_apart();
        add_spread();
        if (aim_ == Aim::cheapest) {
            tie_to_uses();
            break_symmetry();
        }
        if (aim_ != Aim::place_most) add_pieces();
        if (model_.reserve && aim_ != Aim::place_most) add_reserve();
    }

    void cost_between(std::int64_t least, std::int64_t most) {
        Terms terms;
        for (std::size_t b = 0; b < u_.size(); ++b) terms.emplace_back(u_[b], static_cast<double>(bin(b).cost / unit_));
        program_.row(terms, static_cast<double>((least + unit_ - 1) / unit_), static_cast<double>(most / unit_));
    }

    Packing solve(double seconds) {
        const auto outcome = program_.solve(seconds);
        if (outcome == IntegerProgram::Outcome::infeasible) return {Verdict::impossible, {}, {}, 0};
        if (outcome == IntegerProgram::Outcome::open) return {Verdict::open, {}, {}, lower_bound()};
        const bool settled = outcome == IntegerProgram::Outcome::optimal;
        return {settled ? Verdict::packed : Verdict::open, homes(), used(), lower_bound()};
    }

private:
    std::int64_t lower_bound() const {
        constexpr double tolerance = 1e-6;  // of CBC
        return aim_ == Aim::cheapest ? static_cast<std::int64_t>(std::ceil(program_.bound() - tolerance)) * unit_ : 0;
    }
    const Item& sample(std::size_t g) const { return model_.items[groups_[g].items.front()]; }
    double size(std::size_t g) const { return static_cast<double>(groups_[g].items.size()); }
    const Bin& bin(std::size_t b) const { return model_.bins[bins_[b]]; }

    double objective(std::size_t g, std::size_t b) const {
        if (aim_ == Aim::place_most) return -1;
        const auto& previous = sample(g).previous;
        return aim_ == Aim::keep && (previous[0] == bins_[b] || previous[1] == bins_[b]) ? -1 : 0;
    }

    // Whether a bin is used; where moves count, all of them together weigh less than one.
    void add_uses() {
        double all = 1;
        for (const auto b : bins_) {
            unit_ = std::gcd(unit_, model_.bins[b].cost);
            all += static_cast<double>(model_.bins[b].cost);
        }
        const double one = aim_ == Aim::keep ? all : static_cast<double>(unit_);
        for (const auto b : bins_) u_.push_back(program_.integer(0, 1, static_cast<double>(model_.bins[b].cost) / one));
    }

    // What the sums over a bin say already when all is whole says more while it is not.
    void tie_to_uses() {
        for (const auto& of_class : z_)
            for (std::size_t b = 0; b < u_.size(); ++b)
                if (of_class[b] >= 0) program_.at_most({{of_class[b], 1}, {u_[b], -1}}, 0);
    }

    // The fewest bins that a class needs.
    void add_pieces() {
        std::vector<int> size(z_.size()), most(z_.size());
        for (const auto& item : model_.items) size[item.item_class] += item.copies, most[item.item_class] += 1;
        for (std::size_t c = 0; c < z_.size(); ++c) {
            Terms terms;
            int largest = 0;
            for (std::size_t b = 0; b < bins_.size(); ++b)
                if (z_[c][b] >= 0) terms.emplace_back(z_[c][b], -1), largest = std::max(largest, std::min(most[c], bin(b).licences));
            if (largest > 0) program_.at_most(terms, -((size[c] + largest - 1) / largest));
        }
    }

    // terms <= most, or 0 where the bin is not used.
    void at_most_if_used(std::size_t b, Terms terms, double most) {
        if (u_.empty()) return program_.at_most(terms, most);
        terms.emplace_back(u_[b], -most);
        program_.at_most(terms, 0);
    }

    void add_variables() {
        x_.assign(groups_.size(), std::vector<int>(bins_.size(), -1));
        z_.assign(model_.allowed.size(), std::vector<int>(bins_.size(), -1));
        for (std::size_t g = 0; g < groups_.size(); ++g) {
            const auto c = groups_[g].item_class;
            for (std::size_t b = 0; b < bins_.size(); ++b) {
                if (!model_.allowed[c][bins_[b]]) continue;
                const auto& pinned = sample(g).pinned;
                const bool elsewhere = pinned[0] && *pinned[0] != bins_[b];
                if (elsewhere && sample(g).copies == 1) continue;
                const bool here = (pinned[0] == bins_[b] || pinned[1] == bins_[b]) && aim_ != Aim::place_most;
                x_[g][b] = program_.integer(here ? size(g) : 0, size(g), objective(g, b));
                if (z_[c][b] < 0) z_[c][b] = program_.integer(0, 1);
            }
        }
    }

    Terms row_of(std::size_t g) const {
        Terms out;
        for (std::size_t b = 0; b < bins_.size(); ++b)
            if (x_[g][b] >= 0) out.emplace_back(x_[g][b], 1);
        return out;
    }

    // Every copy has a home; two copies of one item are never lost together.
    void add_homes() {
        for (std::size_t g = 0; g < groups_.size(); ++g) {
            const double copies = size(g) * sample(g).copies;
            if (aim_ == Aim::place_most) program_.at_most(row_of(g), copies);
            else program_.equal(row_of(g), copies);
            if (sample(g).copies == 1) continue;
            std::map<std::size_t, Terms> by_loss;
            for (std::size_t b = 0; b < bins_.size(); ++b)
                if (x_[g][b] >= 0) by_loss[bin(b).loss_group].emplace_back(x_[g][b], 1);
            for (const auto& [loss, terms] : by_loss) program_.at_most(terms, size(g));
        }
    }

    void add_bin(std::size_t b) {
        Terms items, tuned, rate;
        std::map<std::size_t, Terms> of_class;
        std::map<std::size_t, double> most;
        for (std::size_t g = 0; g < groups_.size(); ++g) {
            if (x_[g][b] < 0) continue;
            items.emplace_back(x_[g][b], 1);
            rate.emplace_back(x_[g][b], rate_of(g, bin(b).layer));
            of_class[groups_[g].item_class].emplace_back(x_[g][b], 1);
            most[groups_[g].item_class] += size(g);
            program_.at_most({{x_[g][b], 1}, {z_[groups_[g].item_class][b], -size(g)}}, 0);
        }
        for (auto& [c, terms] : of_class) {
            tuned.emplace_back(z_[c][b], 1);
            terms.emplace_back(z_[c][b], -std::min<double>(most[c], bin(b).licences));
            program_.at_most(terms, 0);
        }
        at_most_if_used(b, items, bin(b).licences);
        at_most_if_used(b, tuned, bin(b).tuners);
        if (bin(b).rate_limit) program_.at_most(rate, megabits(*bin(b).rate_limit));
    }

    // In Mbit/s, for the solver's tolerances.
    static double megabits(std::int64_t rate) { return static_cast<double>(rate) / 1e6; }
    double rate_of(std::size_t g, std::size_t layer) const { return megabits(sample(g).rate[layer]); }

    std::size_t position(std::size_t wanted) const {
        return static_cast<std::size_t>(std::find(bins_.begin(), bins_.end(), wanted) - bins_.begin());
    }

    // What counts toward a limit, with `extra` (re-homed items) added by the reserve.
    Terms terms_of(const Limit& limit) const {
        Terms out;
        for (const auto wanted : limit.bins) {
            const auto b = position(wanted);
            for (std::size_t g = 0; b < bins_.size() && g < groups_.size(); ++g)
                if (x_[g][b] >= 0)
                    out.emplace_back(x_[g][b], limit.kind == Limit::Kind::rate ? rate_of(g, 0) : 1.0);
        }
        return out;
    }

    static double most_of(const Limit& limit) {
        return limit.kind == Limit::Kind::rate ? megabits(limit.most) : static_cast<double>(limit.most);
    }

    // Limits on the number of bins are settled by the choice of bins, unless the program makes it.
    void add_limit(const Limit& limit) {
        if (limit.kind != Limit::Kind::bins) return program_.at_most(terms_of(limit), most_of(limit));
        Terms terms;
        for (const auto wanted : limit.bins)
            if (const auto b = position(wanted); b < u_.size()) terms.emplace_back(u_[b], 1);
        if (!terms.empty()) program_.at_most(terms, most_of(limit));
    }

    void add_apart() {
        std::map<std::size_t, std::size_t> group_of;
        for (std::size_t g = 0; g < groups_.size(); ++g)
            for (const auto i : groups_[g].items) group_of[i] = g;
        for (const auto& [a, c] : model_.apart) apart_.push_back({group_of[a], group_of[c]});
        for (const auto& [a, c] : apart_)
            for (std::size_t b = 0; b < bins_.size(); ++b)
                if (x_[a][b] >= 0 && x_[c][b] >= 0) program_.at_most({{x_[a][b], 1}, {x_[c][b], 1}}, 1);
    }

    void add_apart_after(std::size_t loss, const std::vector<std::vector<int>>& y) {
        for (const auto& [a, c] : apart_)
            for (std::size_t b = 0; b < bins_.size(); ++b) {
                Terms terms;
                for (const int v : {x_[a][b], x_[c][b], y[a][b], y[c][b]})
                    if (v >= 0) terms.emplace_back(v, 1);
                if (bin(b).loss_group != loss && terms.size() > 1) program_.at_most(terms, 1);
            }
    }

    void add_spread() {
        std::map<std::size_t, double> total;
        std::map<std::pair<std::size_t, std::size_t>, Terms> in_bin;
        for (std::size_t g = 0; g < groups_.size(); ++g) {
            if (!sample(g).genre) continue;
            total[*sample(g).genre] += size(g);
            for (std::size_t b = 0; b < bins_.size(); ++b)
                if (x_[g][b] >= 0) in_bin[{*sample(g).genre, b}].emplace_back(x_[g][b], 1);
        }
        for (const auto& [at, terms] : in_bin)
            if (total[at.first] > 1) program_.at_most(terms, total[at.first] - 1);
    }

    // Of bins that are alike, the fuller comes first.
    void break_symmetry() {
        for (const auto& type : bin_types(model_)) {
            std::vector<std::size_t> here;
            for (const auto wanted : type)
                if (position(wanted) < bins_.size()) here.push_back(position(wanted));
            for (std::size_t k = 1; k < here.size(); ++k) {
                program_.at_most({{u_[here[k]], 1}, {u_[here[k - 1]], -1}}, 0);
                Terms terms;
                for (std::size_t g = 0; g < groups_.size(); ++g)
                    if (x_[g][here[k]] >= 0) {
                        terms.emplace_back(x_[g][here[k]], 1);
                        terms.emplace_back(x_[g][here[k - 1]], -1);
                    }
                program_.at_most(terms, 0);
            }
        }
    }

    // Items of a group that are protected and in reserve mode are re-homed after each loss.
    void add_reserve() {
        std::set<std::size_t> losses;
        for (const auto b : bins_) losses.insert(model_.bins[b].loss_group);
        for (const auto loss : losses) add_loss(loss);
    }

    void add_loss(std::size_t loss) {
        std::vector<std::vector<int>> y(groups_.size(), std::vector<int>(bins_.size(), -1));
        std::vector<std::vector<int>> w(model_.allowed.size(), std::vector<int>(bins_.size(), -1));
        for (std::size_t g = 0; g < groups_.size(); ++g)
            if (sample(g).is_protected) add_rehomed(g, loss, y, w);
        for (std::size_t b = 0; b < bins_.size(); ++b)
            if (bin(b).loss_group != loss) add_survivor(b, y, w);
        for (const auto& limit : model_.limits)
            if (limit.kind != Limit::Kind::bins) add_limit_after(limit, loss, y);
        add_apart_after(loss, y);
        add_received_after(loss, w);
    }

    // A class with protected items is received after the loss as well.
    void add_received_after(std::size_t loss, const std::vector<std::vector<int>>& w) {
        std::set<std::size_t> guarded;
        for (const auto& item : model_.items)
            if (item.is_protected) guarded.insert(item.item_class);
        for (const auto c : guarded) {
            Terms terms;
            for (std::size_t b = 0; b < bins_.size(); ++b)
                for (const int v : {z_[c][b], w[c][b]})
                    if (v >= 0 && bin(b).loss_group != loss) terms.emplace_back(v, -1);
            program_.at_most(terms, -1);
        }
    }

    void add_rehomed(std::size_t g, std::size_t loss, std::vector<std::vector<int>>& y,
                     std::vector<std::vector<int>>& w) {
        Terms balance;
        for (std::size_t b = 0; b < bins_.size(); ++b) {
            const auto c = groups_[g].item_class;
            if (!model_.allowed[c][bins_[b]]) continue;
            if (bin(b).loss_group == loss) {
                if (x_[g][b] >= 0) balance.emplace_back(x_[g][b], -1);
                continue;
            }
            y[g][b] = program_.integer(0, size(g));
            if (w[c][b] < 0) w[c][b] = program_.integer(0, 1);
            balance.emplace_back(y[g][b], 1);
            Terms tuned{{y[g][b], 1}, {w[c][b], -size(g)}};
            if (z_[c][b] >= 0) tuned.emplace_back(z_[c][b], -size(g));
            program_.at_most(tuned, 0);
        }
        program_.equal(balance, 0);
    }

    void add_survivor(std::size_t b, const std::vector<std::vector<int>>& y,
                      const std::vector<std::vector<int>>& w) {
        Terms items, tuned, rate;
        for (std::size_t g = 0; g < groups_.size(); ++g)
            for (const int v : {x_[g][b], y[g][b]}) {
                if (v < 0) continue;
                items.emplace_back(v, 1);
                rate.emplace_back(v, rate_of(g, bin(b).layer));
            }
        for (std::size_t c = 0; c < z_.size(); ++c)
            for (const int v : {z_[c][b], w[c][b]})
                if (v >= 0) tuned.emplace_back(v, 1);
        at_most_if_used(b, items, bin(b).licences);
        at_most_if_used(b, tuned, bin(b).tuners);
        if (bin(b).rate_limit) program_.at_most(rate, megabits(*bin(b).rate_limit));
    }

    void add_limit_after(const Limit& limit, std::size_t loss, const std::vector<std::vector<int>>& y) {
        Terms terms;
        for (const auto wanted : limit.bins) {
            const auto b = position(wanted);
            if (b == bins_.size() || bin(b).loss_group == loss) continue;
            for (std::size_t g = 0; g < groups_.size(); ++g)
                for (const int v : {x_[g][b], y[g][b]})
                    if (v >= 0) terms.emplace_back(v, limit.kind == Limit::Kind::rate ? rate_of(g, 0) : 1.0);
        }
        program_.at_most(terms, most_of(limit));
    }

    // Items of a group into bins as counted. Two copies: the places of each loss group stand in a
    // row no longer than the group, so that place k and place k + size are never lost together.
    std::vector<Homes> homes() const {
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
    static void name_copies(Homes& homes, const Item& item) {
        if (!homes[1]) return;
        const auto& wanted = item.pinned[0] || item.pinned[1] ? item.pinned : item.previous;
        if (homes[1] == wanted[0] || homes[0] == wanted[1]) std::swap(homes[0], homes[1]);
    }

    std::vector<std::size_t> used() const {
        std::vector<std::size_t> out;
        for (std::size_t b = 0; b < u_.size(); ++b)
            if (program_.value(u_[b]) == 1) out.push_back(bins_[b]);
        return out;
    }

    const Model& model_;
    std::vector<std::size_t> bins_;
    Aim aim_;
    std::vector<Group> groups_;
    std::vector<std::array<std::size_t, 2>> apart_;  // groups of one item
    std::int64_t unit_ = 0;                // common divisor of the costs
    std::vector<int> u_;                   // [bin]
    std::vector<std::vector<int>> x_, z_;  // [group][bin], [class][bin]
    IntegerProgram program_;
};

}  // namespace

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
    Program program(model, bins, Aim::cheapest);
    program.cost_between(least, most);
    return program.solve(seconds);
}

Packing pack_most(const Model& model, const std::vector<std::size_t>& bins, double seconds) {
    return Program(model, bins, Aim::place_most).solve(seconds);
}

Packing pack_keeping(const Model& model, const std::vector<std::size_t>& bins, double seconds) {
    return Program(model, bins, Aim::keep).solve(seconds);
}

}  // namespace mastline::packing
