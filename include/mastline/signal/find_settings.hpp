// SPDX-License-Identifier: Apache-2.0
// Settings that the venue leaves open, found.
//
// Open are: the trim of an amplifier with a range and no `trim`, its slope likewise, a pad place
// without `pads`, a tap without `tap_loss`. Given settings are kept. An input counts when an open
// setting moves its level. Found are the settings under which
//   - the least margin is greatest: over all inputs that count, band edges and carriers, the distance
//     of the worst case from the nearest end of the window;
//   - no amplifier is driven beyond its greatest output, no card input gets more slope between its
//     carriers than it allows, and no more pads and taps are used than stocked;
//   - among those, the fewest pads are fitted;
//   - among those, each lane has the greatest margin that is left to it.
// All this is one mixed integer program, because levels in dB are sums: solved to proven optimum.
#pragma once

#include <optional>

#include "mastline/findings/finding.hpp"
#include "mastline/signal/choices.hpp"
#include "mastline/venue/venue.hpp"

namespace mastline {

struct FoundSettings {
    Choices choices;             // given and found
    std::optional<Gain> margin;  // the least, of the inputs that count; negative: none meets them all
    int pads = 0;                // found, without those that were given
};

// Where no settings meet every window, those that miss by least, and a finding that names the window
// and the cheapest change that would cure it.
// REQUIRES: the venue has been checked without errors.
FoundSettings find_settings(const Venue& venue, Findings& findings);

}  // namespace mastline
