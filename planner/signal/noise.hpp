// SPDX-License-Identifier: Apache-2.0
// Carrier-to-noise ratio along every lane.
#pragma once

#include <vector>

#include "mastline/findings/finding.hpp"
#include "mastline/signal/signal_plan.hpp"
#include "planner/signal/levels.hpp"

namespace mastline {

// Noise of a source at 290 K in a bandwidth: k T0 B, -173.975 dBm in 1 Hz.
Level thermal_noise(Frequency bandwidth);

// By Friis along each lane to each card input, at nominal levels: every stage adds k T0 B (F - 1)
// before its gain. A passive loss is its own noise figure; an active device without one is reckoned
// noiseless. Carriers of unknown bandwidth are left out.
std::vector<CarrierNoise> carrier_noise(const Chain& chain, const Levels& levels,
                                        const Choices& choices);

// Carriers below their threshold are errors, those less than 1.5 dB above it warnings.
void judge_noise(const Venue& venue, const std::vector<CarrierNoise>& noise, Findings& findings);

}  // namespace mastline
