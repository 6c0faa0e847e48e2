// SPDX-License-Identifier: Apache-2.0
#include "planner/assignment/mend.hpp"

#include <algorithm>
#include <cmath>

#include "planner/assignment/bin_load.hpp"
#include "planner/assignment/dice.hpp"

namespace mastline::packing {

namespace {

class Mending {
public:
    Mending(const Model& model, std::vector<std::size_t> bins, std::uint64_t seed)
        : model_(model), bins_(std::move(bins)), dice_(seed), load_(model) {
        std::vector<bool> chosen(model_.bins.size());
        for (const auto b : bins_) chosen[b] = true;
        for (std::size_t b = 0; b < model_.bins.size(); ++b)
            if (!chosen[b]) spare_.push_back(b);
        items_of_.resize(model_.allowed.size());
        for (std::size_t i = 0; i < model_.items.size(); ++i) items_of_[model_.items[i].item_class].push_back(i);
    }

    bool run(std::int64_t rounds, WorkClock::time_point end) {
        if (!settle()) return false;
        for (std::int64_t round = 0; round < rounds; ++round) {
            if (load_.harm() < kNone) return true;
            if (round % 1024 == 0 && WorkClock::seconds_to(end) <= 0) return false;
            const double heat = kHot * std::pow(kCold / kHot, static_cast<double>(round) / static_cast<double>(rounds));
            const double before = load_.harm();
            undo_.clear();
            exchanged_.reset();
            if (!change() || (load_.harm() > before && load_.harm() - before > -heat * std::log(std::max(1e-12, dice_.roll())))) undo();
        }
        return load_.harm() < kNone;
    }

    Mended result() const {
        Mended out{load_.homes(), bins_};
        std::sort(out.used.begin(), out.used.end());
        return out;
    }

private:
    static constexpr double kHot = 0.7, kCold = 0.01, kNone = 1e-7;

    // Class by class, each into one bin or, with two copies, two.
    bool settle() {
        for (const auto& items : items_of_)
            for (const auto i : items)
                for (std::size_t copy = 0; copy < static_cast<std::size_t>(model_.items[i].copies); ++copy) {
                    const auto bin = bin_for(i, copy);
                    if (!bin) return false;
                    load_.put(i, copy, *bin);
                }
        for (std::size_t i = 0; i < model_.items.size(); ++i)
            if (load_.needs_refuge(i))
                if (const auto bin = refuge_for(i)) load_.set_refuge(i, bin);
        return true;
    }

    std::optional<std::size_t> bin_for(std::size_t i, std::size_t copy) {
        const auto first = dice_.below(bins_.size());
        for (std::size_t k = 0; k < bins_.size(); ++k)
            if (const auto b = bins_[(first + k) % bins_.size()]; load_.may_be_home(i, copy, b)) return b;
        return std::nullopt;
    }

    std::optional<std::size_t> refuge_for(std::size_t i) {
        const auto first = dice_.below(bins_.size());
        for (std::size_t k = 0; k < bins_.size(); ++k)
            if (const auto b = bins_[(first + k) % bins_.size()]; load_.may_be_refuge(i, b)) return b;
        return std::nullopt;
    }

    bool change() {
        if (!spare_.empty() && dice_.below(32) == 0) return exchange_bins();
        switch (dice_.below(load_.with_refuges() ? 8 : 5)) {
            case 0: return shift_item();
            case 1: return exchange_items();
            case 2: return shift_piece();
            case 3: return exchange_pieces();
            case 4: return shift_some();
            default: return shift_refuge();
        }
    }

    std::size_t any_bin() { return bins_[dice_.below(bins_.size())]; }
    Copy any_copy() {
        const auto item = dice_.below(model_.items.size());
        return {item, dice_.below(static_cast<std::size_t>(model_.items[item].copies))};
    }
    std::size_t home(Copy c) const { return *load_.homes()[c.item][c.copy]; }

    bool move(Copy c, std::size_t to) {
        const auto from = home(c);
        if (from == to) return true;
        if (!load_.may_be_home(c.item, c.copy, to)) return false;
        const auto refuge = load_.refuge(c.item);
        undo_.push_back({c, from, refuge});
        load_.take(c.item, c.copy);
        load_.put(c.item, c.copy, to);
        if (refuge && !load_.may_be_refuge(c.item, *refuge)) load_.set_refuge(c.item, another_refuge(c.item, from));
        return true;
    }

    // Where it came from, if it can be lost without that.
    std::optional<std::size_t> another_refuge(std::size_t i, std::size_t from) {
        return load_.may_be_refuge(i, from) ? std::optional(from) : refuge_for(i);
    }

    void undo() {
        for (auto step = undo_.rbegin(); step != undo_.rend(); ++step) {
            load_.set_refuge(step->copy.item, std::nullopt);
            if (home(step->copy) != step->from) {
                load_.take(step->copy.item, step->copy.copy);
                load_.put(step->copy.item, step->copy.copy, step->from);
            }
            load_.set_refuge(step->copy.item, step->refuge);
        }
        if (exchanged_) std::swap(bins_[exchanged_->first], spare_[exchanged_->second]);
    }

    bool shift_item() { return move(any_copy(), any_bin()); }

    bool exchange_items() {
        const auto a = any_copy(), b = any_copy();
        const auto at = home(a), to = home(b);
        return at != to && move(a, to) && move(b, at);
    }

    // The class's copies in the bin.
    std::vector<Copy> piece(Copy of) const {
        std::vector<Copy> out;
        for (const auto i : items_of_[model_.items[of.item].item_class])
            for (std::size_t k = 0; k < 2; ++k)
                if (load_.homes()[i][k] == home(of)) out.push_back({i, k});
        return out;
    }

    bool move_all(const std::vector<Copy>& copies, std::size_t to) {
        return std::all_of(copies.begin(), copies.end(), [&](Copy c) { return move(c, to); });
    }

    bool shift_piece() { return move_all(piece(any_copy()), any_bin()); }

    // The first few of it.
    bool shift_some() {
        auto copies = piece(any_copy());
        copies.resize(1 + dice_.below(copies.size()));
        return move_all(copies, any_bin());
    }

    bool exchange_pieces() {
        const auto a = any_copy(), b = any_copy();
        const auto at = home(a), to = home(b);
        if (at == to) return false;
        const auto there = piece(a), back = piece(b);
        return move_all(there, to) && move_all(back, at);
    }

    // Of one item, or of all of its class at its home.
    bool shift_refuge() {
        const auto i = dice_.below(model_.items.size());
        if (!load_.needs_refuge(i)) return false;
        const auto to = any_bin();
        if (dice_.below(2) == 0) return seek_refuge({i, 0}, to);
        for (const auto& c : piece({i, 0}))
            if (load_.needs_refuge(c.item) && !seek_refuge(c, to)) return false;
        return true;
    }

    bool seek_refuge(Copy c, std::size_t to) {
        if (!load_.may_be_refuge(c.item, to)) return false;
        undo_.push_back({c, home(c), load_.refuge(c.item)});
        load_.set_refuge(c.item, to);
        return true;
    }

    // A bin gives its place, and all that it holds, to one that was not chosen.
    bool exchange_bins() {
        const std::pair places{dice_.below(bins_.size()), dice_.below(spare_.size())};
        const auto out = bins_[places.first], in = spare_[places.second];
        if (model_.bins[in].cost > model_.bins[out].cost) return false;
        std::swap(bins_[places.first], spare_[places.second]);
        exchanged_ = places;
        if (!load_.slots_suffice(bins_)) return false;
        for (std::size_t i = 0; i < model_.items.size(); ++i) {
            for (std::size_t k = 0; k < 2; ++k)
                if (load_.homes()[i][k] == out && !move({i, k}, in)) return false;
            if (load_.refuge(i) == out && !seek_refuge({i, 0}, in)) return false;
        }
        return true;
    }

    struct Step {
        Copy copy;
        std::size_t from;
        std::optional<std::size_t> refuge;
    };

    const Model& model_;
    std::vector<std::size_t> bins_, spare_;  // in use, and those that may take their place
    Dice dice_;
    BinLoad load_;
    std::vector<std::vector<std::size_t>> items_of_;  // each class
    std::vector<Step> undo_;
    std::optional<std::pair<std::size_t, std::size_t>> exchanged_;  // places in bins_ and spare_
};

}  // namespace

std::optional<Mended> mend(const Model& model, std::vector<std::size_t> bins, std::int64_t rounds, WorkClock::time_point end) {
    const auto seed = static_cast<std::uint64_t>(rounds) + bins.size() + model.items.size();
    Mending mending(model, std::move(bins), seed);
    if (!mending.run(rounds, end)) return std::nullopt;
    return mending.result();
}

}  // namespace mastline::packing
