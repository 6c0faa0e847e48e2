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
    std::vector<std::size_t> used;  // of pack_keeping: these bins, idle reserve among them
};

// Whether all items go into these bins, every rule kept; all of them count as used.
Packing pack_exactly(const Model& model, const std::vector<std::size_t>& bins, double seconds);

// As many copies as possible into these bins; the reserve is given up.
Packing pack_most(const Model& model, const std::vector<std::size_t>& bins, double seconds);

// All items into some of these bins with as few copies as possible away from their previous bin, and
// then at the least cost. `open`: the homes are there, but fewer moves may be possible.
Packing pack_keeping(const Model& model, const std::vector<std::size_t>& bins, double seconds);

}  // namespace mastline::packing
