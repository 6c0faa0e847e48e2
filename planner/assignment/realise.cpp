// SPDX-License-Identifier: Apache-2.0
#include "planner/assignment/realise.hpp"

#include <algorithm>
#include <map>

namespace mastline::packing {

namespace {

// Copies of a class in dealing order: pinned ones first, then protected ones and great rates, so
// that they are spread over the bins; second copies after all first ones.
std::vector<Copy> copies_of(const Model& model, std::size_t item_class) {
    std::vector<Copy> out;
    for (std::size_t i = 0; i < model.items.size(); ++i)
        if (model.items[i].item_class == item_class)
            for (int k = 0; k < model.items[i].copies; ++k) out.push_back({i, static_cast<std::size_t>(k)});
    std::stable_sort(out.begin(), out.end(), [&](const Copy& a, const Copy& b) {
        const auto& x = model.items[a.item];
        const auto& y = model.items[b.item];
        return std::tuple(a.copy, !x.pinned[a.copy], -x.copies, !x.is_protected, -x.rate[0]) <
               std::tuple(b.copy, !y.pinned[b.copy], -y.copies, !y.is_protected, -y.rate[0]);
    });
    return out;
}

struct Portion {
    std::size_t bin;
    int left;
};

// The portion with most left in proportion takes the next copy, if it fits.
void deal(Placement& placement, const std::vector<Copy>& copies, std::vector<Portion> portions) {
    for (const auto& [item, copy] : copies) {
        std::stable_sort(portions.begin(), portions.end(),
                         [](const Portion& a, const Portion& b) { return a.left > b.left; });
        for (auto& portion : portions) {
            if (portion.left == 0 || !placement.fits(item, copy, portion.bin)) continue;
            placement.put(item, copy, portion.bin);
            --portion.left;
            break;
        }
    }
}

// One copy in, another out of the way, if need be: a chain of two.
bool insert(Placement& placement, Copy c, const std::vector<std::size_t>& bins) {
    for (const auto bin : bins)
        if (placement.fits(c.item, c.copy, bin)) return placement.put(c.item, c.copy, bin), true;
    const auto& model = placement.model();
    for (const auto bin : bins) {
        if (!model.allowed[model.items[c.item].item_class][bin]) continue;
        for (std::size_t i = 0; i < model.items.size(); ++i)
            for (std::size_t k = 0; k < 2; ++k) {
                if (placement.homes()[i][k] != bin) continue;
                placement.take(i, k);
                if (placement.fits(c.item, c.copy, bin)) {
                    placement.put(c.item, c.copy, bin);
                    for (const auto other : bins)
                        if (other != bin && placement.fits(i, k, other)) return placement.put(i, k, other), true;
                    placement.take(c.item, c.copy);
                }
                placement.put(i, k, bin);
            }
    }
    return false;
}

}  // namespace

bool place_rest(Placement& placement, const std::vector<std::size_t>& bins) {
    bool all = true;
    for (std::size_t i = 0; i < placement.homes().size(); ++i)
        for (int k = 0; k < placement.model().items[i].copies; ++k)
            if (const auto copy = static_cast<std::size_t>(k); !placement.homes()[i][copy])
                all = insert(placement, {i, copy}, bins) && all;
    return all;
}

Placement realise(const Model& model, const Outline& outline, const Filling& filling) {
    std::vector<std::size_t> next(outline.types.size());
    std::map<std::size_t, std::vector<Portion>> portions;  // by class
    std::vector<std::size_t> bins;
    for (const auto& filled : filling.bins) {
        const auto bin = outline.bins[filled.type][next[filled.type]++];
        bins.push_back(bin);
        for (const auto& [c, n] : filled.classes) portions[c].push_back({bin, n});
    }
    Placement placement(model);
    for (const auto& [c, of_class] : portions) deal(placement, copies_of(model, c), of_class);
    place_rest(placement, bins);
    return placement;
}

}  // namespace mastline::packing
