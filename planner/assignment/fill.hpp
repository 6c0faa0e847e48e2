// SPDX-License-Identifier: Apache-2.0
// Classes into bins by count alone: licences and tuners. Everything else is settled afterwards.
#pragma once

#include <cstdint>
#include <utility>
#include <vector>

#include "planner/assignment/exact.hpp"

namespace mastline::packing {

struct FillType {
    int licences = 0, tuners = 0, count = 0;
};

struct FillClass {
    int size = 0;              // copies to place
    int most = 0;              // in one bin: the number of items
    std::uint64_t types = 0;   // bit t: may go into bins of type t
};

struct FilledBin {
    std::size_t type = 0;
    std::vector<std::pair<std::size_t, int>> classes;  // class and number of copies
};

struct Filling {
    Verdict verdict = Verdict::open;
    std::vector<FilledBin> bins;
    std::int64_t nodes = 0;
};

// Quick: `tries` constructions, each a little different; never says impossible.
Filling fill_quickly(const std::vector<FillType>& types, const std::vector<FillClass>& classes, int tries);

// Bin by bin, exhaustively, up to `nodes` steps.
//
// Complete because of this: in a packing whose (bin, class) incidence has a circle, copies can be
// shifted round it until one of its edges is gone, so the incidence may be taken for a forest. Then
// some bin shares at most one class with the others: it holds whole classes (or as many of a class
// as one bin may) and at most one part of a class, and the part may be grown until the bin is full.
Filling fill_exhaustively(const std::vector<FillType>& types, const std::vector<FillClass>& classes,
                          std::int64_t nodes);

}  // namespace mastline::packing
