// SPDX-License-Identifier: Apache-2.0
// Choices of bins as the counts of licences and tuners see them: bins that differ only in what else
// is tied to them (a chassis, an item that is to stay) are alike here.
#pragma once

#include <vector>

#include "planner/assignment/outline.hpp"

namespace mastline::packing {

class Counts {
public:
    explicit Counts(const Outline& outline);

    const std::vector<FillClass>& classes() const { return classes_; }
    // The same choice for all choices that are alike here.
    Choice merged(const Choice& choice) const;
    std::size_t merged_type(std::size_t type) const { return merged_type_[type]; }
    // A choice that merges to this one, drawn from as many kinds of bins as it can be.
    Choice parted(const Choice& merged) const;
    std::vector<FillType> types(const Choice& merged) const;
    // Bins of merged types become bins of the outline's types, within the choice.
    Filling refine(Filling filling, const Choice& choice) const;
    // The outline with merged types.
    const Outline& outline() const { return outline_; }

private:
    std::vector<std::size_t> merged_type_;  // of each type of the outline
    std::vector<int> count_;                // of each type of the outline
    Outline outline_;
    std::vector<FillClass> classes_;
};

}  // namespace mastline::packing
