// SPDX-License-Identifier: Apache-2.0
// How far bins are beyond what they can, now and after each loss, where homes and refuges may break rules.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <vector>

#include "planner/assignment/placement.hpp"

namespace mastline::packing {

class BinLoad {
public:
    explicit BinLoad(const Model& model);

    const std::vector<Homes>& homes() const { return homes_; }
    const std::optional<std::size_t>& refuge(std::size_t item) const { return refuge_[item]; }
    bool with_refuges() const { return with_refuges_; }
    bool needs_refuge(std::size_t item) const { return needs_refuge_[item]; }
    // What no price is put on: a bin that does not receive the class or is not the one asked for, two
    // copies that are lost together, a refuge that is lost with the home.
    bool may_be_home(std::size_t item, std::size_t copy, std::size_t bin) const;
    bool may_be_refuge(std::size_t item, std::size_t bin) const;
    bool slots_suffice(const std::vector<std::size_t>& bins) const;

    void put(std::size_t item, std::size_t copy, std::size_t bin);
    void take(std::size_t item, std::size_t copy);
    void set_refuge(std::size_t item, const std::optional<std::size_t>& bin);

    // Items, tuners, rate (in items of the usual rate) beyond the limits, items without a refuge, items
    // together that are to be apart; 0 where every rule is kept and every loss survived.
    double harm();

private:
    // What a loss brings into a bin.
    struct Influx {
        int items = 0, classes = 0;  // classes that are new to the bin
        std::int64_t rate = 0;
        std::vector<int> of_class;
    };
    struct Load {
        int items = 0, classes = 0;
        std::array<std::int64_t, 2> rate{};
        std::vector<int> of_class;
        std::vector<Influx> after;  // [loss]
        double harm = 0;
        bool stale = false;  // harm is not that of the counts
    };
    struct Sum {
        std::int64_t now = 0;
        std::vector<std::int64_t> after;  // [loss]: what changes
    };

    Load& touched(std::size_t bin);
    void count(std::size_t item, std::size_t bin, int sign);
    void count_refuge(std::size_t item, int sign);
    void count_limits(std::size_t item, std::size_t bin, int sign);
    void count_together(std::size_t item, int sign);
    std::size_t loss_of(std::size_t item) const { return loss_[*homes_[item][0]]; }
    std::int64_t weight(const Limit& limit, std::size_t item) const;
    double excess(const Bin& bin, int items, int classes, std::int64_t rate) const;
    double harm_of(std::size_t bin) const;
    double harm_of_limits() const;
    double harm_of_genres() const;

    const Model& model_;
    bool with_refuges_ = false;
    double usual_rate_ = 1;
    std::vector<std::size_t> loss_;  // [bin], from 0
    std::size_t losses_ = 0;
    std::vector<Homes> homes_;
    std::vector<std::optional<std::size_t>> refuge_;
    std::vector<bool> needs_refuge_;
    std::vector<Load> loads_;
    std::vector<Sum> sums_;                          // [limit]
    std::vector<std::vector<std::size_t>> limits_of_;  // [bin]
    std::vector<std::vector<std::size_t>> apart_of_;   // [item]
    std::vector<std::vector<int>> genre_in_;           // [genre][bin]
    std::vector<int> genre_total_;
    int without_refuge_ = 0, together_ = 0;
    double known_ = 0;                // of all bins that are not stale
    std::vector<std::size_t> stale_;  // bins
};

}  // namespace mastline::packing
