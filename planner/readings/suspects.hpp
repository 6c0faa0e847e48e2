// SPDX-License-Identifier: Apache-2.0
// What can be at fault, and with what.
#pragma once

#include <optional>
#include <vector>

#include "mastline/readings/diagnosis.hpp"
#include "planner/readings/chain_points.hpp"

namespace mastline {

// Atoms that fail together: one lane of a run, one port of a device, a device as a whole.
struct Suspect {
    ChainPart part;
    std::string port;               // empty: all
    std::vector<LaneNumber> lanes;  // empty: all
    std::vector<std::size_t> atoms;
    double weight = 1;              // how often such a thing fails, against others
};

// How a fault changes the level with frequency; 1 where it is greatest.
enum class Shape : std::uint8_t {
    flat,
    rising,    // nothing at the low edge of the band
    linear,    // with the frequency
    root,      // with the root of the frequency, as a longer cable
    slope,     // as the slope of an amplifier
    port_swap  // the difference between two ports of a tap
};

// One way in which a suspect may be at fault. The change is an amount in dB times the shape; the
// amount is evenly likely between `least` and `most`, or one value where both are the same.
struct Possibility {
    std::size_t suspect = 0;
    PartFaultKind kind = PartFaultKind::flat_loss;
    Shape shape = Shape::flat;
    double least = 0, most = 0;
    bool light = false;      // the amount is in optical dB
    bool revives = false;    // dead: but a receiver that holds its level finds something to hold
    double weight = 1;       // among the possibilities of its suspect
    std::size_t other_path = 0;            // port_swap: the path whose gain it has instead
    std::optional<std::size_t> stocked;    // or the stocked tap
    std::vector<LaneNumber> order;         // crossed: which lane comes instead of each of the suspect's
    std::size_t port = 0;                  // crossed: at this input port of the chain
    std::vector<std::size_t> from, to;     // crossed: visits at that port, signal by signal
};

struct Suspicions {
    std::vector<Suspect> suspects;
    std::vector<Possibility> possibilities;
};

// Faults change a level by `least` or more.
Suspicions suspicions_of(const ChainPoints& chain, const std::vector<PowerSupply>& power, Gain least);

}  // namespace mastline
