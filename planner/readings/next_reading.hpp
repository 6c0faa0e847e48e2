// SPDX-License-Identifier: Apache-2.0
// Which reading would tell the remaining explanations apart.
#pragma once

#include <vector>

#include "planner/readings/verdicts.hpp"

namespace mastline {

// What has been read, row by row.
struct ReadSoFar {
    const std::vector<ChainPoint>& points;
    std::vector<Sighting> sightings;
    const Departures& departures;
    Meter meter;
};

// The most telling points first, at most three; none where the readings leave nothing open or no
// point would tell more than a twentieth of a bit.
std::vector<NextReading> next_readings(const ChainPoints& chain, const Signatures& signatures,
                                       const ReadingEvidence& evidence,
                                       const Beliefs& beliefs, const ReadSoFar& read);

}  // namespace mastline
