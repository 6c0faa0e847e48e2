// SPDX-License-Identifier: Apache-2.0
#include "planner/assignment/anneal.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "planner/assignment/dice.hpp"

namespace mastline::packing {

namespace {

class Annealing {
public:
    Annealing(Placement& placement, const std::vector<std::size_t>& bins)
        : placement_(placement), model_(placement.model()), bins_(bins), dice_(bins.size() + model_.items.size()) {
        items_of_.resize(model_.allowed.size());
        for (std::size_t i = 0; i < model_.items.size(); ++i) items_of_[model_.items[i].item_class].push_back(i);
        guarded_ = model_.reserve && std::any_of(model_.items.begin(), model_.items.end(), [](const Item& i) { return i.is_protected; });
        find_losses();
        for (std::size_t i = 0; i < model_.items.size(); ++i)
            for (int k = 0; k < model_.items[i].copies; ++k)
                if (!placement_.homes()[i][static_cast<std::size_t>(k)]) waiting_.push_back({i, static_cast<std::size_t>(k)});
    }

    bool run(int rounds) {
        double now = harm(HUGE_VAL);
        for (int round = 0; round < rounds && bad(now); ++round) {
            const double heat = 1.2 * std::pow(0.02, static_cast<double>(round) / rounds);
            // The most harm that this round would accept, drawn beforehand: judging stops beyond it.
            const double most = now - heat * std::log(std::max(1e-12, dice_.roll()));
            undo_.clear();
            waited_.reset();
            if (!change()) {
                undo();
                continue;
            }
            const double then = harm(most);
            if (then <= most) now = then;
            else undo();
        }
        return !bad(now);
    }

private:
    void find_losses() {
        if (!guarded_) return;
        std::set<std::size_t> groups;
        for (const auto b : bins_) groups.insert(model_.bins[b].loss_group);
        losses_.assign(groups.begin(), groups.end());
    }

    static constexpr double kOfPair = 0.01;  // what a (bin, class) pair harms; below 1 in all

    bool bad(double harm) const { return harm >= 1; }

    // Copies without a home, now or after a loss; then (bin, class) pairs, which cost tuners.
    double harm(double most) {
        double out = static_cast<double>(waiting_.size()) * 2 + std::min(0.9, kOfPair * pairs_share());
        for (std::size_t k = 0; k < losses_.size() && out <= most; ++k) {
            const int left = left_without_home(placement_, bins_, losses_[k]);
            out += left;
            if (left > 0 && k > 0) std::swap(losses_[k], losses_[k / 2]);  // likely to be bad again: sooner
        }
        return out;
    }

    double pairs_share() const {
        return 90.0 * placement_.pairs() / static_cast<double>(model_.allowed.size() * bins_.size() + 1);
    }

    bool change() {
        if (!waiting_.empty() && dice_.below(3) == 0) return settle_one();
        switch (dice_.below(4)) {
            case 0: return shift_some();
            case 1: return exchange_classes();
            case 2: return exchange_items();
            default: return shift_class();
        }
    }

    void take(Copy c) {
        undo_.push_back({c, placement_.homes()[c.item][c.copy]});
        placement_.take(c.item, c.copy);
    }
    void put(Copy c, std::size_t bin) {
        undo_.push_back({c, std::nullopt});
        placement_.put(c.item, c.copy, bin);
    }
    bool try_put(Copy c, std::size_t bin) {
        if (!placement_.fits(c.item, c.copy, bin)) return false;
        put(c, bin);
        return true;
    }

    void undo() {
        for (auto step = undo_.rbegin(); step != undo_.rend(); ++step) {
            const auto& [c, bin] = *step;
            if (bin) placement_.put(c.item, c.copy, *bin);
            else placement_.take(c.item, c.copy);
        }
        if (waited_) waiting_ = std::move(*waited_);
    }

    std::size_t any_bin() { return bins_[dice_.below(bins_.size())]; }

    std::size_t class_of(Copy c) const { return model_.items[c.item].item_class; }
    std::size_t home(Copy c) const { return *placement_.homes()[c.item][c.copy]; }

    std::optional<Copy> any_copy() {
        const auto item = dice_.below(model_.items.size());
        const Copy out{item, dice_.below(static_cast<std::size_t>(model_.items[item].copies))};
        return placement_.homes()[item][out.copy] ? std::optional(out) : std::nullopt;
    }

    // The class's copies in the bin.
    std::vector<Copy> piece(std::size_t bin, std::size_t item_class) const {
        std::vector<Copy> out;
        for (const auto i : items_of_[item_class])
            for (std::size_t k = 0; k < 2; ++k)
                if (placement_.homes()[i][k] == bin) out.push_back({i, k});
        return out;
    }

    // A copy that waits takes a place; another makes room for it where need be.
    bool settle_one() {
        const auto at = dice_.below(waiting_.size());
        const Copy c = waiting_[at];
        const auto bin = any_bin();
        if (!model_.allowed[class_of(c)][bin]) return false;
        std::optional<Copy> evicted;
        const bool room = try_put(c, bin);
        if (!room) {
            const auto other = any_copy();
            if (!other || home(*other) != bin) return false;
            take(*other);
            if (!try_put(c, bin)) return false;
            evicted = other;
        }
        waited_ = waiting_;
        waiting_.erase(waiting_.begin() + static_cast<std::ptrdiff_t>(at));
        if (evicted) waiting_.push_back(*evicted);
        return true;
    }

    bool shift(const std::vector<Copy>& copies, std::size_t to) {
        for (const auto& c : copies) take(c);
        return std::all_of(copies.begin(), copies.end(), [&](Copy c) { return try_put(c, to); });
    }

    bool shift_class() {
        const auto to = any_bin();
        const auto c = any_copy();
        return c && home(*c) != to && shift(piece(home(*c), class_of(*c)), to);
    }

    // One item; or all of a class that are protected, or that are not.
    bool shift_some() {
        const auto to = any_bin();
        const auto c = any_copy();
        if (!c || home(*c) == to) return false;
        if (dice_.below(2) == 0) return shift({*c}, to);
        auto copies = piece(home(*c), class_of(*c));
        std::erase_if(copies, [&](Copy o) { return model_.items[o.item].is_protected != model_.items[c->item].is_protected; });
        return shift(copies, to);
    }

    bool exchange(const std::vector<Copy>& a, const std::vector<Copy>& b) {
        const auto from = home(a.front()), to = home(b.front());
        for (const auto& c : a) take(c);
        for (const auto& c : b) take(c);
        return std::all_of(a.begin(), a.end(), [&](Copy c) { return try_put(c, to); }) &&
               std::all_of(b.begin(), b.end(), [&](Copy c) { return try_put(c, from); });
    }

    bool exchange_classes() {
        const auto a = any_copy(), b = any_copy();
        if (!a || !b || home(*a) == home(*b) || class_of(*a) == class_of(*b)) return false;
        return exchange(piece(home(*a), class_of(*a)), piece(home(*b), class_of(*b)));
    }

    bool exchange_items() {
        const auto a = any_copy(), b = any_copy();
        return a && b && home(*a) != home(*b) && exchange({*a}, {*b});
    }

    struct Step {
        Copy copy;
        std::optional<std::size_t> taken_from;  // none: was put
    };

    Placement& placement_;
    const Model& model_;
    std::vector<std::size_t> bins_;
    bool guarded_ = false;
    Dice dice_;
    std::vector<std::vector<std::size_t>> items_of_;  // each class
    std::vector<std::size_t> losses_;
    std::vector<Copy> waiting_;
    std::vector<Step> undo_;
    std::optional<std::vector<Copy>> waited_;  // before the change
};

}  // namespace

bool anneal(Placement& placement, const std::vector<std::size_t>& bins, int rounds) {
    return Annealing(placement, bins).run(rounds);
}

}  // namespace mastline::packing
