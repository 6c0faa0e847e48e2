// SPDX-License-Identifier: Apache-2.0
// What a carrier's standard, modulation and code rate say: the transport rate it holds, the
// carrier-to-noise ratio it needs, the bandwidth it takes.
#pragma once

#include <optional>

#include "mastline/venue/feeds.hpp"

namespace mastline {

// None where the standard or its parameters are not known here (dvb-t2 in particular).
std::optional<BitRate> transport_rate_of(const Carrier& carrier);

// In the noise bandwidth below; the receiver of the standard, without margin.
std::optional<Gain> threshold_of(const Carrier& carrier);

// Symbol rate, or channel bandwidth of terrestrial carriers.
std::optional<Frequency> noise_bandwidth(const Carrier& carrier);

// With roll-off: 0.35 for dvb-s, 0.20 (the narrowest) for dvb-s2, 0.15 for dvb-c; the channel
// bandwidth for terrestrial carriers.
std::optional<Frequency> occupied_bandwidth(const Carrier& carrier);

// Known modulations and code rates of the carrier's system as "qpsk 3/4"; empty where any text does.
std::vector<std::string> known_modes(std::string_view system);

}  // namespace mastline
