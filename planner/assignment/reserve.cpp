// SPDX-License-Identifier: Apache-2.0
// What happens when cards are lost: which of their items find room elsewhere, survivors staying.
#include <algorithm>
#include <map>
#include <set>

#include "planner/assignment/placement.hpp"

namespace mastline::packing {

namespace {

// Re-homes class by class, the largest first; within a class, bins that are tuned to it already
// come first, then those with most room. Goes back over its choices up to a number of steps.
class Rehomer {
public:
    Rehomer(Placement& placement, std::vector<std::size_t> bins, std::vector<std::vector<std::size_t>> classes)
        : placement_(placement), bins_(std::move(bins)), classes_(std::move(classes)) {}

    bool run() { return from(0, 0); }

private:
    bool from(std::size_t c, std::size_t k) {
        if (c == classes_.size()) return true;
        if (k == classes_[c].size()) return from(c + 1, 0);
        if (--steps_ < 0) return false;
        const auto item = classes_[c][k];
        for (const auto bin : candidates(item)) {
            // Without a rate limit items of a class are alike: fill the bin before the next.
            std::size_t put = 0;
            while (k + put < classes_[c].size() && placement_.fits(classes_[c][k + put], 0, bin)) {
                placement_.put(classes_[c][k + put], 0, bin);
                ++put;
            }
            if (put > 0 && from(c, k + put)) return true;
            while (put > 0) placement_.take(classes_[c][k + --put], 0);
        }
        return false;
    }

    std::vector<std::size_t> candidates(std::size_t item) const {
        const auto c = placement_.model().items[item].item_class;
        std::vector<std::size_t> out = bins_;
        const auto room = [&](std::size_t b) { return placement_.model().bins[b].licences - placement_.in_bin(b); };
        std::stable_sort(out.begin(), out.end(), [&](std::size_t a, std::size_t b) {
            const bool tuned_a = placement_.of_class(a, c) > 0, tuned_b = placement_.of_class(b, c) > 0;
            return tuned_a != tuned_b ? tuned_a : room(a) > room(b);
        });
        std::erase_if(out, [&](std::size_t b) { return !placement_.fits(item, 0, b); });
        return out;
    }

    Placement& placement_;
    std::vector<std::size_t> bins_;
    std::vector<std::vector<std::size_t>> classes_;
    int steps_ = 400;
};

// The items that were in `lost` bins, grouped by class, large classes first. They are taken out.
std::vector<std::vector<std::size_t>> evacuate(Placement& placement, const std::set<std::size_t>& lost,
                                               bool protected_only) {
    std::map<std::size_t, std::vector<std::size_t>> by_class;
    for (std::size_t i = 0; i < placement.homes().size(); ++i) {
        const auto& home = placement.homes()[i][0];
        if (!home || !lost.contains(*home)) continue;
        const auto& item = placement.model().items[i];
        if (item.is_protected || !protected_only) by_class[item.item_class].push_back(i);
    }
    std::vector<std::vector<std::size_t>> out;
    for (auto& [c, items] : by_class) out.push_back(std::move(items));
    std::stable_sort(out.begin(), out.end(), [](const auto& a, const auto& b) { return a.size() > b.size(); });
    for (const auto& items : out)
        for (const auto i : items) placement.take(i, 0);
    return out;
}

std::vector<std::size_t> survivors(const std::vector<std::size_t>& used, const std::set<std::size_t>& lost) {
    std::vector<std::size_t> out;
    for (const auto bin : used)
        if (!lost.contains(bin)) out.push_back(bin);
    return out;
}

// In an emergency a pin and the spread of genres are waived; the rest of the rules hold.
Model for_emergency(const Model& model) {
    Model out = model;
    for (auto& item : out.items) item.pinned.reset(), item.genre.reset();
    return out;
}

Placement copy_onto(const Model& model, const Placement& placement) {
    Placement out(model);
    for (std::size_t i = 0; i < placement.homes().size(); ++i)
        for (std::size_t copy = 0; copy < 2; ++copy)
            if (const auto& home = placement.homes()[i][copy]) out.put(i, copy, *home);
    return out;
}

}  // namespace

bool reserve_holds(const Placement& placement, const std::vector<std::size_t>& used) {
    const Model emergency = for_emergency(placement.model());
    Placement scratch = copy_onto(emergency, placement);
    std::map<std::size_t, std::set<std::size_t>> groups;
    for (const auto bin : used) groups[emergency.bins[bin].loss_group].insert(bin);
    for (const auto& [group, lost] : groups) {
        Placement after = scratch;
        auto items = evacuate(after, lost, true);
        if (!Rehomer(after, survivors(used, lost), std::move(items)).run()) return false;
    }
    return true;
}

Rehoming rehome(const Placement& placement, const std::vector<std::size_t>& used,
                const std::vector<std::size_t>& lost_bins, bool protected_only) {
    const Model emergency = for_emergency(placement.model());
    Placement after = copy_onto(emergency, placement);
    const std::set<std::size_t> lost(lost_bins.begin(), lost_bins.end());
    const auto groups = evacuate(after, lost, protected_only);
    const auto rest = survivors(used, lost);
    Rehoming out;
    if (!Rehomer(after, rest, groups).run())  // not all fit: as many as one by one
        for (const auto& items : groups)
            for (const auto i : items)
                for (const auto bin : rest)
                    if (!after.homes()[i][0] && after.fits(i, 0, bin)) after.put(i, 0, bin);
    for (const auto& items : groups)
        for (const auto i : items)
            if (const auto& home = after.homes()[i][0]) out.moved.emplace_back(i, *home);
            else out.lost.push_back(i);
    return out;
}

}  // namespace mastline::packing
