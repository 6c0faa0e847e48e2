// SPDX-License-Identifier: Apache-2.0
// What happens when cards are lost: which of their items find room elsewhere, survivors staying.
#include <algorithm>
#include <set>

#include "planner/assignment/placement.hpp"

namespace mastline::packing {

namespace {

using Items = std::vector<std::size_t>;

// Re-homes class by class, the largest first; within a class, bins that are tuned to it already
// come first, then those with most room. Goes back over its choices up to a number of steps.
class Rehomer {
public:
    Rehomer(Placement& placement, const std::vector<std::size_t>& bins, const std::vector<Items>& classes)
        : placement_(placement), bins_(bins), classes_(classes) {}

    bool run() { return from(0, 0); }

    // The first choice each time; the items that found no room.
    Items straight() {
        Items out;
        for (const auto& items : classes_)
            for (const auto item : items)
                if (const auto bin = best(item); bin < placement_.model().bins.size()) placement_.put(item, 0, bin);
                else out.push_back(item);
        return out;
    }

private:
    bool from(std::size_t c, std::size_t k) {
        if (c == classes_.size()) return true;
        if (k == classes_[c].size()) return from(c + 1, 0);
        if (--steps_ < 0) return false;
        const auto item = classes_[c][k];
        for (const auto bin : candidates(item)) {
            // Without a rate limit items of a class are alike: fill the bin before the next.
            std::size_t put = 0;
            while (k + put < classes_[c].size() && placement_.fits_after_loss(classes_[c][k + put], bin)) {
                placement_.put(classes_[c][k + put], 0, bin);
                ++put;
            }
            if (put > 0 && from(c, k + put)) return true;
            while (put > 0) placement_.take(classes_[c][k + --put], 0);
        }
        return false;
    }

    int room(std::size_t b) const { return placement_.model().bins[b].licences - placement_.in_bin(b); }

    // Tuned bins before others; a bin that is just filled up goes on being the best.
    std::size_t best(std::size_t item) const {
        const auto c = placement_.model().items[item].item_class;
        std::size_t out = placement_.model().bins.size();
        std::pair<bool, int> best_so_far{false, 0};
        for (const auto b : bins_) {
            const bool tuned = placement_.of_class(b, c) > 0;
            const std::pair score{tuned, tuned ? placement_.of_class(b, c) + 1 : room(b)};
            if (score > best_so_far && placement_.fits_after_loss(item, b)) out = b, best_so_far = score;
        }
        return out;
    }

    std::vector<std::size_t> candidates(std::size_t item) const {
        const auto c = placement_.model().items[item].item_class;
        std::vector<std::size_t> out = bins_;
        std::stable_sort(out.begin(), out.end(), [&](std::size_t a, std::size_t b) {
            const bool tuned_a = placement_.of_class(a, c) > 0, tuned_b = placement_.of_class(b, c) > 0;
            return tuned_a != tuned_b ? tuned_a : room(a) > room(b);
        });
        std::erase_if(out, [&](std::size_t b) { return !placement_.fits_after_loss(item, b); });
        return out;
    }

    Placement& placement_;
    const std::vector<std::size_t>& bins_;
    const std::vector<Items>& classes_;
    int steps_ = 400;
};

// What was in lost bins is taken out.
struct Evacuated {
    std::vector<std::pair<Copy, std::size_t>> all;  // and the bin it was in
    std::vector<Items> classes;                     // those to be re-homed, large classes first
};

enum class Whom { protected_ones, all_that_are_dark };

void add_classes(const Placement& placement, bool are_protected, Evacuated& out) {
    std::vector<std::pair<std::size_t, std::size_t>> dark;  // class, item
    for (const auto& [copy, bin] : out.all) {
        const auto& item = placement.model().items[copy.item];
        const auto& homes = placement.homes()[copy.item];
        if (item.is_protected == are_protected && !homes[0] && !homes[1]) dark.emplace_back(item.item_class, copy.item);
    }
    std::sort(dark.begin(), dark.end());
    dark.erase(std::unique(dark.begin(), dark.end()), dark.end());
    const auto from = out.classes.size();
    for (std::size_t k = 0; k < dark.size(); ++k) {
        if (k == 0 || dark[k].first != dark[k - 1].first) out.classes.emplace_back();
        out.classes.back().push_back(dark[k].second);
    }
    std::stable_sort(out.classes.begin() + static_cast<std::ptrdiff_t>(from), out.classes.end(),
                     [](const auto& x, const auto& y) { return x.size() > y.size(); });
}

Evacuated evacuate(Placement& placement, std::size_t loss_group, Whom whom) {
    Evacuated out;
    for (std::size_t i = 0; i < placement.homes().size(); ++i)
        for (std::size_t copy = 0; copy < 2; ++copy) {
            const auto& home = placement.homes()[i][copy];
            if (home && placement.model().bins[*home].loss_group == loss_group) out.all.push_back({{i, copy}, *home});
        }
    for (const auto& [copy, bin] : out.all) placement.take(copy.item, copy.copy);
    add_classes(placement, true, out);
    if (whom == Whom::all_that_are_dark) add_classes(placement, false, out);
    return out;
}

std::vector<std::size_t> survivors(const Model& model, const std::vector<std::size_t>& used, std::size_t loss_group) {
    std::vector<std::size_t> out;
    for (const auto bin : used)
        if (model.bins[bin].loss_group != loss_group) out.push_back(bin);
    return out;
}

void put_back(Placement& placement, const Evacuated& evacuated) {
    for (const auto& items : evacuated.classes)
        for (const auto i : items)
            if (placement.homes()[i][0]) placement.take(i, 0);
    for (const auto& [copy, bin] : evacuated.all) placement.put(copy.item, copy.copy, bin);
}

int left_of(Placement& placement, const std::vector<std::size_t>& used, std::size_t loss_group, Whom whom) {
    const auto rest = survivors(placement.model(), used, loss_group);
    const auto evacuated = evacuate(placement, loss_group, whom);
    const auto left = Rehomer(placement, rest, evacuated.classes).straight().size();
    put_back(placement, evacuated);
    return static_cast<int>(left);
}

}  // namespace

int left_without_home(Placement& placement, const std::vector<std::size_t>& used, std::size_t loss_group) {
    return left_of(placement, used, loss_group, Whom::protected_ones);
}

int left_dark(Placement& placement, const std::vector<std::size_t>& used, std::size_t loss_group) {
    return left_of(placement, used, loss_group, Whom::all_that_are_dark);
}

bool reserve_holds(const Placement& placement, const std::vector<std::size_t>& used) {
    std::set<std::size_t> groups;
    for (const auto bin : used) groups.insert(placement.model().bins[bin].loss_group);
    Placement scratch = placement;
    for (const auto group : groups) {
        if (left_without_home(scratch, used, group) == 0) continue;
        Placement after = placement;
        const auto rest = survivors(placement.model(), used, group);
        const auto evacuated = evacuate(after, group, Whom::protected_ones);
        if (!Rehomer(after, rest, evacuated.classes).run()) return false;
    }
    return true;
}

}  // namespace mastline::packing
