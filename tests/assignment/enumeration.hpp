// SPDX-License-Identifier: Apache-2.0
// All ways to put a few items into a few bins, one by one: slow, and nothing to be wrong about. Knows
// licences, tuners, loss groups, copies and the reserve; no rates, limits, pins or genres.
#pragma once

#include <algorithm>
#include <functional>
#include <set>
#include <vector>

#include "mastline/assignment/model.hpp"

namespace mastline::test {

class Enumeration {
public:
    using Bins = std::vector<std::size_t>;

    Enumeration(const packing::Model& model, Bins used)
        : model_(model), used_(std::move(used)), homes_(model.items.size()), count_(model.bins.size()),
          of_class_(model.bins.size(), std::vector<int>(model.allowed.size())) {}

    // Calls for every complete packing until told to stop.
    void each(const std::function<bool(const Enumeration&)>& go_on) {
        go_on_ = go_on;
        stopped_ = false;
        place(0, 0);
    }
    // Whatever packing there is is taken as it stands.
    void take(const std::vector<packing::Homes>& homes) {
        for (std::size_t i = 0; i < homes.size(); ++i)
            for (std::size_t k = 0; k < 2; ++k)
                if (homes[i][k]) put(i, k, *homes[i][k]);
    }

    int pairs() const {
        int out = 0;
        for (const auto& bin : of_class_) out += static_cast<int>(std::count_if(bin.begin(), bin.end(), [](int n) { return n > 0; }));
        return out;
    }
    std::set<std::size_t> losses() const {
        std::set<std::size_t> out;
        for (const auto b : used_) out.insert(model_.bins[b].loss_group);
        return out;
    }
    bool all_used() const {
        return std::all_of(used_.begin(), used_.end(), [&](std::size_t b) { return count_[b] > 0; });
    }
    double unevenness() const {
        double out = 0;
        for (const auto b : used_) {
            double rate = 0;
            for (std::size_t i = 0; i < homes_.size(); ++i)
                for (const auto& home : homes_[i])
                    if (home == b) rate += static_cast<double>(model_.items[i].rate[0]);
            out += rate * rate;
        }
        return out;
    }

    // The fewest of the items that go dark with the loss that must stay dark, survivors staying where
    // they are; protected ones alone, or all.
    int dark_after(std::size_t loss, bool protected_alone) const {
        Enumeration after(model_, {});
        for (const auto b : used_)
            if (model_.bins[b].loss_group != loss) after.used_.push_back(b);
        std::vector<std::size_t> dark;
        for (std::size_t i = 0; i < homes_.size(); ++i) {
            for (std::size_t k = 0; k < 2; ++k)
                if (homes_[i][k] && model_.bins[*homes_[i][k]].loss_group != loss) after.put(i, k, *homes_[i][k]);
            if (!after.homes_[i][0] && !after.homes_[i][1] && (model_.items[i].is_protected || !protected_alone)) dark.push_back(i);
        }
        return after.fewest_left(dark, 0);
    }
    bool reserve_holds() const {
        for (const auto loss : losses())
            if (dark_after(loss, true) > 0) return false;
        return true;
    }

private:
    bool fits(std::size_t i, std::size_t k, std::size_t b) const {
        const auto c = model_.items[i].item_class;
        if (!model_.allowed[c][b] || count_[b] == model_.bins[b].licences) return false;
        const auto tuned = std::count_if(of_class_[b].begin(), of_class_[b].end(), [](int n) { return n > 0; });
        if (of_class_[b][c] == 0 && tuned == model_.bins[b].tuners) return false;
        return !homes_[i][1 - k] || model_.bins[*homes_[i][1 - k]].loss_group != model_.bins[b].loss_group;
    }
    void put(std::size_t i, std::size_t k, std::size_t b) {
        homes_[i][k] = b;
        ++count_[b];
        ++of_class_[b][model_.items[i].item_class];
    }
    void remove(std::size_t i, std::size_t k) {
        --count_[*homes_[i][k]];
        --of_class_[*homes_[i][k]][model_.items[i].item_class];
        homes_[i][k].reset();
    }

    void place(std::size_t i, std::size_t k) {
        if (i == homes_.size()) {
            stopped_ = !go_on_(*this);
            return;
        }
        const bool last = static_cast<int>(k) + 1 == model_.items[i].copies;
        for (const auto b : used_) {
            if (stopped_) return;
            if (!fits(i, k, b)) continue;
            put(i, k, b);
            place(last ? i + 1 : i, last ? 0 : k + 1);
            remove(i, k);
        }
    }

    int fewest_left(const std::vector<std::size_t>& dark, std::size_t at) {
        if (at == dark.size()) return 0;
        int best = static_cast<int>(dark.size() - at);
        for (const auto b : used_) {
            if (best == 0) return 0;
            if (!fits(dark[at], 0, b)) continue;
            put(dark[at], 0, b);
            best = std::min(best, fewest_left(dark, at + 1));
            remove(dark[at], 0);
        }
        return best == 0 ? 0 : std::min(best, 1 + fewest_left(dark, at + 1));
    }

    const packing::Model& model_;
    Bins used_;
    std::vector<packing::Homes> homes_;
    std::vector<int> count_;
    std::vector<std::vector<int>> of_class_;
    std::function<bool(const Enumeration&)> go_on_;
    bool stopped_ = false;
};

// Whether one of all the ways keeps the reserve too, where there is to be one.
inline bool fits_somehow(const packing::Model& model, const std::vector<std::size_t>& used) {
    bool found = false;
    Enumeration(model, used).each([&](const Enumeration& packing) {
        found = !model.reserve || packing.reserve_holds();
        return !found;
    });
    return found;
}

// A few items in cards of one kind.
inline packing::Model small_model(int items, int classes, int bins, int licences, int tuners) {
    packing::Model out;
    out.items.resize(static_cast<std::size_t>(items));
    out.bins.resize(static_cast<std::size_t>(bins));
    for (std::size_t b = 0; b < out.bins.size(); ++b) {
        out.bins[b].licences = licences;
        out.bins[b].tuners = tuners;
        out.bins[b].loss_group = b;
    }
    out.allowed.assign(static_cast<std::size_t>(classes), std::vector<bool>(out.bins.size(), true));
    return out;
}

}  // namespace mastline::test
