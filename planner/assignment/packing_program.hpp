// SPDX-License-Identifier: Apache-2.0
// The model as an integer program: whether and how often items of a group are in a bin, classes are
// received there, and the bin is used.
#pragma once

#include <array>
#include <cstdint>
#include <utility>
#include <vector>

#include "planner/assignment/exact.hpp"
#include "planner/assignment/integer_program.hpp"
#include "planner/assignment/item_groups.hpp"

namespace mastline::packing {

enum class Aim : std::uint8_t {
    cheapest,
    place_most,
    keep,
    any  // plan in just these bins
};

// [class][place among the bins]
using Received = std::vector<std::vector<bool>>;

class PackingProgram {
public:
    // `received`: where classes may be; none: wherever the model allows them.
    PackingProgram(const Model& model, const std::vector<std::size_t>& bins, Aim aim, const Received* received = nullptr);
    void cost_between(std::int64_t least, std::int64_t most);
    Packing solve(double seconds);

private:
    using Terms = std::vector<std::pair<int, double>>;

    std::int64_t lower_bound() const;
    bool chooses_bins() const { return aim_ == Aim::cheapest || aim_ == Aim::keep; }
    bool receives(std::size_t c, std::size_t b) const;
    // A tuner that no received class takes, or that may be so.
    bool has_free_tuner(std::size_t b) const;
    const Item& sample(std::size_t g) const { return model_.items[groups_[g].items.front()]; }
    double size(std::size_t g) const { return static_cast<double>(groups_[g].items.size()); }
    const Bin& bin(std::size_t b) const { return model_.bins[bins_[b]]; }
    double objective(std::size_t g, std::size_t b) const;
    // Whether a bin is used; where moves count, all of them together weigh less than one.
    void add_uses();
    // What the sums over a bin say already when all is whole says more while it is not.
    void tie_to_uses();
    // The fewest bins that a class needs.
    void add_pieces();
    // terms <= most, or 0 where the bin is not used.
    void at_most_if_used(std::size_t b, Terms terms, double most);
    void add_variables();
    Terms row_of(std::size_t g) const;
    // Every copy has a home; two copies of one item are never lost together.
    void add_homes();
    void add_bin(std::size_t b);
    // In Mbit/s, for the solver's tolerances.
    static double megabits(std::int64_t rate) { return static_cast<double>(rate) / 1e6; }
    double rate_of(std::size_t g, std::size_t layer) const { return megabits(sample(g).rate[layer]); }
    std::size_t position(std::size_t wanted) const;
    // What counts toward a limit, with `extra` (re-homed items) added by the reserve.
    Terms terms_of(const Limit& limit) const;
    static double most_of(const Limit& limit);
    // Limits on the number of bins are settled by the choice of bins, unless the program makes it.
    void add_limit(const Limit& limit);
    void add_apart();
    void add_apart_after(std::size_t loss, const std::vector<std::vector<int>>& y);
    void add_spread();
    // Of bins that are alike, the fuller comes first.
    void break_symmetry();
    // Items of a group that are protected and in reserve mode are re-homed after each loss.
    void add_reserve();
    void add_loss(std::size_t loss);
    // A class with protected items is received after the loss as well.
    void add_received_after(std::size_t loss, const std::vector<std::vector<int>>& w);
    bool is_lost(std::size_t c, std::size_t loss) const;
    void add_rehomed(std::size_t g, std::size_t loss, std::vector<std::vector<int>>& y,
                     std::vector<std::vector<int>>& w);
    void add_survivor(std::size_t b, const std::vector<std::vector<int>>& y, const std::vector<std::vector<int>>& w);
    void add_limit_after(const Limit& limit, std::size_t loss, const std::vector<std::vector<int>>& y);
    // Items of a group into bins as counted. Two copies: the places of each loss group stand in a
    // row no longer than the group, so that place k and place k + size are never lost together.
    std::vector<Homes> homes() const;
    // Which of the two is the first: the one that is where the first is asked for or was.
    static void name_copies(Homes& homes, const Item& item);
    std::vector<std::size_t> used() const;

    const Model& model_;
    std::vector<std::size_t> bins_;
    Aim aim_;
    const Received* received_;
    std::vector<ItemGroup> groups_;
    std::vector<std::array<std::size_t, 2>> apart_;  // groups of one item
    std::int64_t unit_ = 0;                // common divisor of the costs
    std::vector<int> u_;                   // [bin]
    std::vector<std::vector<int>> x_, z_;  // [group][bin], [class][bin]
    IntegerProgram program_;
};

}  // namespace mastline::packing
