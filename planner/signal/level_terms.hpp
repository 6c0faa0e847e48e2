// SPDX-License-Identifier: Apache-2.0
// How every level of the chain moves with each unknown.
//
// Levels in dB are sums, so the level of a track is that at the base settings plus, for each unknown,
// a term times its value; its worst case widens likewise. A receiver that holds its level keeps only
// what moves a track against the held one, and a single-cable output that holds its level nothing.
#pragma once

#include <vector>

#include "planner/signal/levels.hpp"
#include "planner/signal/open_settings.hpp"

namespace mastline {

// Per unit of the unknown, in dB.
struct Term {
    std::size_t unknown = 0;
    double nominal = 0, fall = 0, rise = 0;
};

using Terms = std::vector<Term>;  // in order of the unknowns, each once

// One per track: those of SignalState::tracks, then of high_slot.
using TrackTerms = std::vector<Terms>;

// One per visit. REQUIRES: `levels` were made with the base settings of `unknowns`.
std::vector<TrackTerms> level_terms(const Chain& chain, const Levels& levels,
                                    const std::vector<Unknown>& unknowns);

// All tracks of a state, in the order of TrackTerms.
std::vector<const Track*> all_tracks(const SignalState& state);

// a - b of the nominal levels: what moves one track against another.
Terms difference(const Terms& a, const Terms& b);

}  // namespace mastline
