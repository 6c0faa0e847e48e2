// SPDX-License-Identifier: Apache-2.0
// Items in bins, and whether one more fits: every rule but the reserve.
#pragma once

#include "mastline/assignment/model.hpp"

namespace mastline::packing {

struct Copy {
    std::size_t item, copy;
};

class Placement {
public:
    explicit Placement(const Model& model);

    const Model& model() const { return *model_; }
    const std::vector<Homes>& homes() const { return homes_; }
    // Whether the copy could be put into the bin, were it the last one.
    bool fits(std::size_t item, std::size_t copy, std::size_t bin) const;
    // As fits() for a first copy in an emergency: wishes and spread genres are waived.
    bool fits_after_loss(std::size_t item, std::size_t bin) const;
    void put(std::size_t item, std::size_t copy, std::size_t bin);
    void take(std::size_t item, std::size_t copy);

    int in_bin(std::size_t bin) const { return count_[bin]; }
    int of_class(std::size_t bin, std::size_t item_class) const { return of_class_[bin][item_class]; }
    int classes_in(std::size_t bin) const { return classes_[bin]; }
    std::int64_t rate_in(std::size_t bin) const { return rate_[bin][model_->bins[bin].layer]; }
    std::int64_t transport_in(std::size_t bin) const { return rate_[bin][0]; }
    int pairs() const;
    bool complete() const;

private:
    void count(std::size_t item, std::size_t bin, int sign);
    bool has_room(const Item& item, std::size_t bin) const;
    bool within_limits(const Item& item, std::size_t bin) const;
    bool apart_from_others(std::size_t item, std::size_t copy, std::size_t bin) const;
    bool spread(const Item& item, std::size_t bin) const;

    const Model* model_;
    std::vector<Homes> homes_;
    std::vector<int> count_, classes_;
    std::vector<std::vector<int>> of_class_;            // [bin][class]
    std::vector<std::array<std::int64_t, 2>> rate_;     // [bin][layer]
    std::vector<std::int64_t> in_limit_;                // of each limit
    std::vector<std::vector<std::size_t>> limits_of_;   // [bin]
    std::vector<std::vector<int>> genre_in_;            // [genre][bin]
    std::vector<int> genre_total_;
    std::vector<std::vector<std::size_t>> apart_of_;    // [item]
};

// Whether every loss group's protected items find room in the other bins of `used`, survivors
// staying where they are. False also where a search this short finds no way.
bool reserve_holds(const Placement& placement, const std::vector<std::size_t>& used);

// Of the protected items of lost bins, how many the straight way, without going back, leaves without
// a home; 0 means that this loss is survived. The placement is as it was afterwards.
int left_without_home(Placement& placement, const std::vector<std::size_t>& used, std::size_t loss_group);

// As above, of all items that the loss leaves without any copy, protected ones re-homed first.
int left_dark(Placement& placement, const std::vector<std::size_t>& used, std::size_t loss_group);

}  // namespace mastline::packing
