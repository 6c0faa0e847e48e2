// SPDX-License-Identifier: Apache-2.0
// Levels along every lane: nominal, worst case, root-sum-square.
//
// A tolerance of t dB lets a level rise or fall by t. Worst case adds all of them, root-sum-square
// adds their squares. A cable's is a percentage of its loss at that frequency; on outdoor runs heat
// and cold are terms of their own. An optical tolerance counts double in RF and is a term of its own.
#pragma once

#include <optional>
#include <vector>

#include "mastline/signal/choices.hpp"
#include "planner/signal/chain.hpp"

namespace mastline {

// How far a level may fall (down) and rise (up): sums in dB and sums of squares.
struct LevelSpread {
    double down = 0, up = 0, down_squares = 0, up_squares = 0;
    void add(double fall, double rise);
    void add(double both) { add(both, both); }
    void add_doubled(const LevelSpread& light);
};

// One frequency of one signal at one conductor, in dBm and dB.
struct Track {
    double mhz = 0;
    double nominal = 0;
    LevelSpread spread;
};

// The light of an optical link, in optical dBm and dB.
struct Light {
    double launch = 0, power = 0;
    Wavelength wavelength = Wavelength::nm1310;
    LevelSpread spread;
};

// The signal of one visit. Tracks: low edge, high edge, then each carrier in use (as `carriers`),
// then frequencies at which some receiver holds its level. Behind a single-cable output a signal may
// stand in any user band: `tracks` are in the lowest, `high_slot` are the same in the highest.
struct SignalState {
    std::vector<Track> tracks, high_slot;
    std::optional<Light> light;
};

class Levels {
public:
    // REQUIRES: choices has one entry per device.
    Levels(const Chain& chain, const Choices& choices);

    const std::vector<SignalState>& states() const { return states_; }  // one per visit
    // Indices into the venue's carriers.
    const std::vector<std::size_t>& carriers(const Visit& visit) const {
        return carriers_[visit.feed][visit.lane];
    }
    LevelRange low(std::size_t visit) const { return range(visit, 0); }
    LevelRange high(std::size_t visit) const { return range(visit, 1); }
    LevelRange carrier(std::size_t visit, std::size_t i) const { return range(visit, 2 + i); }

private:
    SignalState start(const Visit& visit) const;
    LevelRange range(std::size_t visit, std::size_t track) const;

    const Chain& chain_;
    std::vector<double> held_;  // MHz
    std::vector<std::vector<std::vector<std::size_t>>> carriers_;  // feed, lane
    std::vector<SignalState> states_;
};

// Gain of a device's path for one conductor, in electrical dB (optical dB on an optical path), as
// set. What an optical receiver adds for its light is not in it.
double path_gain(const Venue& venue, const Device& device, const DeviceChoice& choice,
                 const PortPath& path, int conductor, double mhz);

// Part of an amplifier's full slope that is taken off at a frequency: 1 at and below the low edge of
// its band, 0 at and above the high edge.
double slope_share(const DeviceData& data, double mhz);

}  // namespace mastline
