// SPDX-License-Identifier: Apache-2.0
// Which parts the points that were read tell apart, and where a lane departs.
#pragma once

#include <vector>

#include "planner/readings/signatures.hpp"

namespace mastline {

// The parts that would do the same to every point, in whatever measure, from roof to card.
std::vector<ChainPart> section_of(const Suspicions& suspicions, const Signatures& signatures,
                                  const ChainPoints& chain, std::size_t possibility);

struct Departure {
    std::vector<MeterPoint> right_until, departs_at;
};

// The first points behind a suspect and the last before it.
Departure departure_of(const Signatures& signatures, const ChainPoints& chain, std::size_t suspect);

// Parts that no point stands behind.
std::vector<ChainPart> unseen_parts(const Suspicions& suspicions, const Signatures& signatures);

}  // namespace mastline
