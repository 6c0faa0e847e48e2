// SPDX-License-Identifier: Apache-2.0
#include "planner/assignment/counts.hpp"

#include <map>
#include <tuple>

namespace mastline::packing {

Counts::Counts(const Outline& outline) {
    using CountedTraits = std::tuple<int, int, std::int64_t, std::vector<bool>>;
    std::map<CountedTraits, std::size_t> number;
    outline_.classes = outline.classes;
    for (auto& c : outline_.classes) c.fill.types = 0;
    for (std::size_t t = 0; t < outline.types.size(); ++t) {
        std::vector<bool> usable;
        for (const auto& c : outline.classes) usable.push_back(((c.fill.types >> t) & 1U) != 0);
        const auto& type = outline.types[t];
        const auto [at, fresh] = number.try_emplace({type.licences, type.tuners, outline.cost[t], usable}, number.size());
        const std::size_t m = at->second;
        if (fresh) {
            outline_.bins.emplace_back();
            outline_.types.push_back({type.licences, type.tuners, 0});
            outline_.cost.push_back(outline.cost[t]);
            outline_.forced.push_back(false);
            for (std::size_t c = 0; c < usable.size(); ++c)
                if (usable[c]) outline_.classes[c].fill.types |= std::uint64_t{1} << m;
        }
        outline_.types[m].count += type.count;
        outline_.bins[m].insert(outline_.bins[m].end(), outline.bins[t].begin(), outline.bins[t].end());
        merged_type_.push_back(m);
        count_.push_back(type.count);
    }
    for (const auto& c : outline_.classes) classes_.push_back(c.fill);
}

Choice Counts::merged(const Choice& choice) const {
    Choice out(outline_.types.size());
    for (std::size_t t = 0; t < choice.size(); ++t) out[merged_type_[t]] += choice[t];
    return out;
}

Choice Counts::parted(const Choice& merged) const {
    Choice out(count_.size()), left = merged;
    for (bool any = true; any;) {
        any = false;
        for (std::size_t t = 0; t < out.size(); ++t)
            if (left[merged_type_[t]] > 0 && out[t] < count_[t]) ++out[t], --left[merged_type_[t]], any = true;
    }
    return out;
}

std::vector<FillType> Counts::types(const Choice& merged) const {
    auto out = outline_.types;
    for (std::size_t m = 0; m < out.size(); ++m) out[m].count = merged[m];
    return out;
}

Filling Counts::refine(Filling filling, const Choice& choice) const {
    Choice left = choice;
    for (auto& bin : filling.bins) {
        std::size_t t = 0;
        while (merged_type_[t] != bin.type || left[t] == 0) ++t;
        --left[t];
        bin.type = t;
    }
    return filling;
}

}  // namespace mastline::packing
