// SPDX-License-Identifier: Apache-2.0
#include "planner/assignment/outline.hpp"

#include <algorithm>

#include "planner/assignment/bin_types.hpp"

namespace mastline::packing {

namespace {

std::uint64_t types_allowed(const Model& model, const Outline& outline, std::size_t c) {
    std::uint64_t out = 0;
    for (std::size_t t = 0; t < outline.bins.size(); ++t)
        if (model.allowed[c][outline.bins[t].front()]) out |= std::uint64_t{1} << t;
    return out;
}

void add_types(const Model& model, Outline& out) {
    out.bins = bin_types(model);
    for (const auto& bins : out.bins) {
        const Bin& bin = model.bins[bins.front()];
        out.types.push_back({bin.licences, bin.tuners, static_cast<int>(bins.size())});
        out.cost.push_back(bin.cost);
        out.forced.push_back(std::any_of(model.items.begin(), model.items.end(),
                                         [&](const Item& i) { return i.pinned[0] == bins.front() || i.pinned[1] == bins.front(); }));
    }
}

}  // namespace

std::optional<Outline> outline_of(const Model& model) {
    Outline out;
    add_types(model, out);
    if (out.bins.size() > 64) return std::nullopt;
    out.classes.resize(model.allowed.size());
    for (std::size_t c = 0; c < out.classes.size(); ++c)
        out.classes[c].fill.types = types_allowed(model, out, c);
    for (const auto& item : model.items) {
        auto& of = out.classes[item.item_class];
        of.fill.size += item.copies;
        of.fill.most += 1;
        if (item.is_protected && model.reserve) ++of.protected_items;
        for (std::size_t layer = 0; layer < 2; ++layer) of.rate[layer] += item.copies * item.rate[layer];
    }
    return out;
}

std::vector<std::size_t> bins_of(const Outline& outline, const Choice& choice) {
    std::vector<std::size_t> out;
    for (std::size_t t = 0; t < choice.size(); ++t)
        out.insert(out.end(), outline.bins[t].begin(), outline.bins[t].begin() + choice[t]);
    std::sort(out.begin(), out.end());
    return out;
}

}  // namespace mastline::packing
