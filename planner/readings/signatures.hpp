// SPDX-License-Identifier: Apache-2.0
// What a possible fault does to a reading.
#pragma once

#include "planner/readings/suspects.hpp"

namespace mastline {

struct Effect {
    double change = 0;  // dB, for one dB of the amount (for the whole of a fault without amount)
    double dead = 0;    // how likely the point is without signal
};

// The effect of one possibility on the points behind it, by number of the point.
using Effects = std::vector<std::pair<std::size_t, Effect>>;

class Signatures {
public:
    // `points`: those that have been read. REQUIRES: all three outlive this.
    Signatures(const ChainPoints& chain, const Suspicions& suspicions,
               const std::vector<ChainPoint>& points);

    const std::vector<ChainPoint>& points() const { return points_; }
    // Points behind a suspect, whatever becomes of their level.
    const std::vector<std::size_t>& behind(std::size_t suspect) const { return behind_[suspect]; }
    Effects effects(std::size_t possibility) const;

    Effect effect(std::size_t possibility, const ChainPoint& point) const;
    // A flat change of one dB of what a possibility is about: the light of its suspect, or the
    // electrical signal.
    double flat(const Possibility& p, const ChainPoint& point) const;

private:
    double shape(const Possibility& p, const ChainPoint& point, const Atom& atom, double mhz) const;
    Effect crossed(const Possibility& p, const ChainPoint& point) const;

    const ChainPoints& chain_;
    const Suspicions& suspicions_;
    const std::vector<ChainPoint>& points_;
    std::vector<std::vector<char>> member_;  // suspect, atom
    std::vector<std::vector<std::size_t>> behind_;
};

}  // namespace mastline
