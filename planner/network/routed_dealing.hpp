// SPDX-License-Identifier: Apache-2.0
// How many streams of each tree displays choose at worst, where each display is reached along several
// trees. What displays can call for is a polymatroid: of the streams of any set of trees at most as
// many flow as displays are beyond that any of them reaches. The heaviest mix of one is found by
// decomposition: choose as if all displays were reached by all trees; where some trees are asked for
// more than their displays, these choose among themselves, and the others share what displays are
// left (Fujishige, "Lexicographically optimal base of a polymatroid with respect to a weight vector",
// Mathematics of Operations Research 5, 1980).
#pragma once

#include <cstdint>
#include <functional>
#include <vector>

namespace mastline {

class RoutedDealing {
public:
    using Positions = std::vector<std::size_t>;  // of callers, ascending
    // Of the `most` heaviest streams that `some` bring: how many each of them does, by place in `some`.
    using Choose = std::function<void(const Positions& some, std::int64_t most, std::vector<std::int64_t>& asked)>;

    // Forgets what was dealt before.
    void begin(std::size_t callers);
    // The next pool serves this caller.
    void serve(std::size_t caller) { row_[caller] = true, any_ = true; }
    // Left out where it serves nobody or has no displays.
    void add_pool(std::int64_t displays);
    // Of all pools.
    std::int64_t displays() const;
    bool is_served(std::size_t caller) const;
    // By caller: how many of its streams displays choose.
    const std::vector<std::int64_t>& deal(const Choose& choose);

private:
    bool serves(std::size_t pool, std::size_t caller) const {
        return serves_[pool * callers_ + caller] && pool_part_[pool] == caller_part_[caller];
    }
    std::int64_t& flow(std::size_t caller, std::size_t pool) { return flow_[caller * room_.size() + pool]; }
    bool solve(std::size_t part, std::size_t next, const Choose& choose);
    bool find_overdrawn();
    bool widen(std::size_t start);
    void pass_along(std::size_t start, std::size_t last, std::size_t pool);

    std::size_t callers_ = 0;
    std::vector<char> row_, serves_;  // of the pool at hand by caller; by pool and caller
    bool any_ = false;
    std::vector<std::int64_t> displays_, served_;      // by pool; and how many callers it serves
    std::vector<std::size_t> caller_part_, pool_part_; // a part deals by itself
    std::vector<std::int64_t> given_;                  // by caller

    // Of the part at hand.
    Positions some_, pools_;
    std::vector<std::int64_t> asked_;                  // by place in some_
    std::vector<std::int64_t> left_, room_, flow_;     // by caller, by pool, by both
    std::vector<char> over_;                           // by caller
    std::vector<std::size_t> reached_, by_pool_, queue_;  // of the latest search: from which, over which pool
};

}  // namespace mastline
