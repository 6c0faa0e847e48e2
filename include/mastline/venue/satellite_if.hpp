// SPDX-License-Identifier: Apache-2.0
// What an LNB does to a frequency.
#pragma once

#include "mastline/units/frequency.hpp"

namespace mastline {

struct SatelliteIf {
    Frequency frequency;
    bool inverted = false;  // the spectrum is turned over where the oscillator is above the downlink
    friend constexpr bool operator==(const SatelliteIf&, const SatelliteIf&) = default;
};

// |downlink - local oscillator|.
constexpr SatelliteIf satellite_if(Frequency downlink, Frequency local_oscillator) {
    return local_oscillator > downlink ? SatelliteIf{local_oscillator - downlink, true}
                                       : SatelliteIf{downlink - local_oscillator, false};
}

}  // namespace mastline
