// SPDX-License-Identifier: Apache-2.0
// What a possible fault does to a reading.
#pragma once

#include "planner/readings/suspects.hpp"

namespace mastline {

struct Effect {
    double change = 0;  // dB, for one dB of the amount (for the whole of a fault without amount)
    double dead = 0;    // how likely the point is without signal
};

class Signatures {
public:
    // REQUIRES: both outlive this.
    Signatures(const ChainPoints& chain, const Suspicions& suspicions);

    Effect effect(std::size_t possibility, const ChainPoint& point) const;
    // A flat change of one dB of what a possibility is about: the light of its suspect, or the
    // electrical signal.
    double flat(const Possibility& p, const ChainPoint& point) const;
    // Whether a signal passes the suspect on its way to the point, whatever becomes of its level.
    bool passes(std::size_t suspect, const ChainPoint& point) const;

private:
    double shape(const Possibility& p, const ChainPoint& point, const Atom& atom, double mhz) const;
    Effect crossed(const Possibility& p, const ChainPoint& point) const;

    const ChainPoints& chain_;
    const Suspicions& suspicions_;
    std::vector<std::vector<char>> member_;  // suspect, atom
};

}  // namespace mastline
