// SPDX-License-Identifier: Apache-2.0
// Counts that rule out whatever a reception may be completed to.
//
// After a loss a class that was wholly in what is lost, and has guarded items, takes a free tuner in
// another bin. So lost things never hold more such classes than there are free tuners outside them; and as
// a free tuner serves every loss but its own, there are never more such classes than losses less one for
// each free tuner. Survivors staying, what is lost must hold as many unguarded items as its licences are
// more than the licences that are free in all. All of this holds within every set of bins, of the classes
// that can be nowhere else.
#pragma once

#include "planner/assignment/reception.hpp"

namespace mastline::packing {

class ReceptionCounts {
public:
    explicit ReceptionCounts(const Reception& start);

    bool rule_out(const Reception& reception) const;

private:
    // What is still to be decided, from each place in the order.
    struct Rest {
        int least_bins = 0, guarded_classes = 0;  // the latter: those that one bin could hold
        std::vector<int> most_items, most_unguarded;  // [n]: in n classes together
    };
    struct Scope {
        std::vector<bool> bins, classes;
        int licences = 0, items = 0;
        std::vector<int> licences_lost;  // [loss]
        std::vector<Rest> rest;          // [decided]
    };
    struct Tally;

    static Rest rest_of(const Reception& start, const Scope& scope, std::size_t decided);
    static std::vector<std::vector<bool>> unions(const Reception& start);
    Tally tally(const Reception& reception, const Scope& scope) const;
    bool too_few(const Scope& scope, const Reception& reception) const;
    static bool tuners_go_round(const Tally& tally);

    std::vector<Scope> scopes_;
};

// Whether the parts can be made so large that no bin holds more than its licences.
bool parts_fit(const Reception& reception);

}  // namespace mastline::packing
