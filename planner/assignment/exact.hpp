// SPDX-License-Identifier: Apache-2.0
// The whole model as an integer program: the arbiter where counting and quick search do not decide.
#pragma once

#include <optional>
#include <vector>

#include "mastline/assignment/model.hpp"

namespace mastline::packing {

enum class Verdict : std::uint8_t { packed, impossible, open };

struct Packing {
    Verdict verdict = Verdict::open;
    std::vector<Homes> homes;
    std::vector<std::size_t> used;  // where the program chooses: these bins, idle reserve among them
    std::int64_t lower_bound = 0;   // of pack_cheapest: no plan costs less
};

// All items into bins of the least cost, from `least` (no plan costs less) to `most`. `open` with homes:
// a plan, but a cheaper one may be possible.
Packing pack_cheapest(const Model& model, std::int64_t least, std::int64_t most, double seconds);

// How large the program of pack_cheapest is.
std::size_t program_variables(const Model& model);

// All items into these bins, each class in bins that `received` ([class][place among the bins]) says;
// what of it takes no part in a loss is left out, and the program is small.
Packing pack_received(const Model& model, const std::vector<std::size_t>& bins,
                      const std::vector<std::vector<bool>>& received, double seconds);

// As many copies as possible into these bins; the reserve is given up.
Packing pack_most(const Model& model, const std::vector<std::size_t>& bins, double seconds);

// All items into some of these bins with as few copies as possible away from their previous bin, and
// then at the least cost. `open`: the homes are there, but fewer moves may be possible.
Packing pack_keeping(const Model& model, const std::vector<std::size_t>& bins, double seconds);

}  // namespace mastline::packing
