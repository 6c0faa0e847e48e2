// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <set>

#include "planner/assignment/dice.hpp"
#include "planner/assignment/merit.hpp"
#include "planner/assignment/realise.hpp"

namespace mastline::packing {

namespace {

// Local search by stages: each betters one figure and lets none before it grow worse.
class Improvement {
public:
    Improvement(Placement& placement, const std::vector<std::size_t>& used, bool keep)
        : placement_(placement), model_(placement.model()), used_(used), keep_(keep), merit_(placement, used) {
        items_of_.resize(model_.allowed.size());
        for (std::size_t i = 0; i < model_.items.size(); ++i) items_of_[model_.items[i].item_class].push_back(i);
    }

    // Climbs, then again from where chance throws it: iterated local search (H. Lourenço, O. Martin
    // and T. Stützle, "Iterated local search", Handbook of Metaheuristics, 2003).
    void run() {
        patience_ = kSteps / merit_.steps_of_reserve();
        climb();
        const auto size = static_cast<std::int64_t>(model_.items.size() * used_.size()) + 1;
        patience_ = kStepsOfThrows / merit_.steps_of_reserve();
        for (auto throws = std::min<std::int64_t>(40, 20'000 / size); throws > 0 && patience_ > 0; --throws) {
            const Placement before = placement_;
            const Merit merit = now_;
            throw_about();
            if (sound()) climb();
            if (now_ < merit && sound()) continue;
            placement_ = before;
            now_ = merit;
        }
    }

private:
    using Copies = std::vector<Copy>;

    void climb() {
        for (const auto figure : {Figure::pairs, Figure::reserve, Figure::evenness}) {
            figure_ = figure;
            now_ = merit_.of(placement_);
            while (!now_.best(figure) && change_one()) {
            }
        }
    }

    // A few pieces or copies to other bins, or for others.
    void throw_about() {
        for (int tries = 0, done = 0; tries < 12 && done < 3; ++tries) {
            const auto from = used_[dice_.below(used_.size())], to = used_[dice_.below(used_.size())];
            const auto there = any_copies(from), back = dice_.below(2) == 0 ? any_copies(to) : Copies{};
            if (from == to || there.empty() || same_class(there, back)) continue;
            if (empties({there, back, from, to})) continue;
            done += make({there, back, from, to});
        }
    }

    // Of some class in the bin all that are there, or one.
    Copies any_copies(std::size_t bin) {
        Copies out;
        for (std::size_t tries = 0; out.empty() && tries < 8; ++tries) out = piece(bin, dice_.below(model_.allowed.size()));
        if (!out.empty() && dice_.below(2) == 0) out = {out[dice_.below(out.size())]};
        return out;
    }

    bool same_class(const Copies& a, const Copies& b) const {
        return !a.empty() && !b.empty() && model_.items[a.front().item].item_class == model_.items[b.front().item].item_class;
    }

    static constexpr std::int64_t kSteps = 800'000, kStepsOfThrows = 200'000;  // tries of a copy in a bin after a loss

    bool may_move(Copy c) const {
        const auto& previous = model_.items[c.item].previous[c.copy];
        return !(keep_ && previous && placement_.homes()[c.item][c.copy] == previous);
    }

    Copies piece(std::size_t bin, std::size_t item_class) const {
        Copies out;
        for (const auto i : items_of_[item_class])
            for (std::size_t k = 0; k < 2; ++k)
                if (placement_.homes()[i][k] == bin) out.push_back({i, k});
        return out;
    }

    bool is_in(std::size_t bin, std::size_t item_class) const { return placement_.of_class(bin, item_class) > 0; }

    // The first change found that is for the better.
    bool change_one() {
        const auto order = fullest_first();
        for (const auto from : order)
            for (auto to = order.rbegin(); to != order.rend(); ++to)
                if (*to != from && between(from, *to)) return true;
        return false;
    }

    std::vector<std::size_t> fullest_first() const {
        std::vector<std::size_t> out = used_;
        std::stable_sort(out.begin(), out.end(), [&](std::size_t a, std::size_t b) {
            return placement_.transport_in(a) > placement_.transport_in(b);
        });
        return out;
    }

    // Whole pieces of classes, or single copies where both bins receive their class.
    bool between(std::size_t from, std::size_t to) {
        for (std::size_t c = 0; c < model_.allowed.size(); ++c) {
            if (!is_in(from, c)) continue;
            const auto copies = piece(from, c);
            if (better({copies, {}, from, to})) return true;
            if (figure_ != Figure::pairs && is_in(to, c))
                for (const auto& single : copies)
                    if (better({{single}, {}, from, to})) return true;
            if (exchanges(copies, from, to)) return true;
        }
        return false;
    }

    bool exchanges(const Copies& mine, std::size_t from, std::size_t to) {
        const auto c = model_.items[mine.front().item].item_class;
        for (std::size_t d = 0; d < model_.allowed.size(); ++d) {
            if (!is_in(to, d)) continue;
            const auto theirs = piece(to, d);
            if (d != c && better({mine, theirs, from, to})) return true;
            if (is_in(to, c) && is_in(from, d) && exchange_singles(mine, theirs, from, to)) return true;
        }
        return false;
    }

    bool exchange_singles(const Copies& mine, const Copies& theirs, std::size_t from, std::size_t to) {
        if (figure_ == Figure::pairs) return false;
        for (const auto& a : mine)
            for (const auto& b : theirs)
                if (better({{a}, {b}, from, to})) return true;
        return false;
    }

    struct Change {
        Copies there, back;
        std::size_t from, to;
    };

    // Makes the change if it keeps every rule and is for the better; a bin that is used stays in use,
    // it was counted.
    bool better(const Change& change) {
        if (!promises(change)) return false;
        if (!make(change)) return false;
        --patience_;
        auto then = merit_.of(placement_, now_, figure_);
        if (then && sound()) {
            now_ = *then;
            return true;
        }
        take_back(change);
        return false;
    }

    // A look beforehand at what it would do to the figure, and whether there is patience left.
    bool promises(const Change& change) {
        if (figure_ == Figure::pairs && !joins(change)) return false;
        if (empties(change)) return false;
        if (figure_ == Figure::evenness && !evens(change)) return false;
        return figure_ == Figure::pairs || patience_ > 0;
    }

    bool empties(const Change& change) const {
        return static_cast<int>(change.there.size()) == placement_.in_bin(change.from) && change.back.empty();
    }

    bool joins(const Change& change) const {
        const auto received = [&](const Copies& copies, std::size_t bin) {
            return !copies.empty() && is_in(bin, model_.items[copies.front().item].item_class);
        };
        return received(change.there, change.to) || received(change.back, change.from);
    }

    bool evens(const Change& change) const {
        const auto rate = [&](const Copies& copies) {
            std::int64_t sum = 0;
            for (const auto& c : copies) sum += model_.items[c.item].rate[0];
            return sum;
        };
        const auto shifted = rate(change.there) - rate(change.back);
        const auto gap = placement_.transport_in(change.from) - placement_.transport_in(change.to);
        return shifted > 0 && shifted < gap;
    }

    bool make(const Change& change) {
        if (!std::all_of(change.there.begin(), change.there.end(), [&](Copy c) { return may_move(c); }) ||
            !std::all_of(change.back.begin(), change.back.end(), [&](Copy c) { return may_move(c); }))
            return false;
        for (const auto& c : change.there) placement_.take(c.item, c.copy);
        for (const auto& c : change.back) placement_.take(c.item, c.copy);
        if (put_all(change.there, change.to) && put_all(change.back, change.from)) return true;
        take_back(change);
        return false;
    }

    bool put_all(const Copies& copies, std::size_t bin) {
        for (const auto& c : copies) {
            if (!placement_.fits(c.item, c.copy, bin)) return false;
            placement_.put(c.item, c.copy, bin);
        }
        return true;
    }

    // From whatever it came to.
    void take_back(const Change& change) {
        for (const auto* copies : {&change.there, &change.back})
            for (const auto& c : *copies)
                if (placement_.homes()[c.item][c.copy]) placement_.take(c.item, c.copy);
        for (const auto& c : change.there) placement_.put(c.item, c.copy, change.from);
        for (const auto& c : change.back) placement_.put(c.item, c.copy, change.to);
    }

    bool sound() const { return !model_.reserve || reserve_holds(placement_, used_); }

    Placement& placement_;
    const Model& model_;
    const std::vector<std::size_t>& used_;
    bool keep_;
    MeritOf merit_;
    std::vector<std::vector<std::size_t>> items_of_;  // each class
    std::int64_t patience_ = 0;  // changes that may still be judged
    Dice dice_{1};
    Figure figure_ = Figure::pairs;
    Merit now_;
};

}  // namespace

void improve(Placement& placement, const std::vector<std::size_t>& used, bool keep) {
    Improvement(placement, used, keep).run();
}

}  // namespace mastline::packing
