// SPDX-License-Identifier: Apache-2.0
// The chain as a meter sees it: the level to be expected at a point, and what each part before that
// point does to it.
#pragma once

#include <compare>
#include <map>
#include <optional>
#include <vector>

#include "mastline/readings/reading.hpp"
#include "mastline/signal/signal_plan.hpp"
#include "planner/signal/levels.hpp"

namespace mastline {

enum class AtomKind : std::uint8_t { feed, run, path };

// The smallest thing that can be at fault: a lane of a feed, one conductor of a run (as it leaves) or
// one conductor of one path through a device (as it enters).
struct Atom {
    AtomKind kind = AtomKind::path;
    std::size_t part = 0;  // index into the venue's feeds, runs or devices
    std::size_t path = 0;  // of a device
    int conductor = 1;
    friend auto operator<=>(const Atom&, const Atom&) = default;
};

// What an atom before a point does to the level there. A change of p(f) dB at the atom, at its
// output, changes the level by electrical * (p(f) - p(held)); a change of its light by q optical dB
// changes it by light * q.
struct Influence {
    std::size_t atom = 0;
    double electrical = 0, light = 0;
    std::optional<double> held;  // MHz, where a receiver behind holds its output level
    bool reaches = false;        // a signal that dies at the atom is dead at the point
};

// A point with what the plan says of it; levels in dBm, optical power where `optical`.
struct ChainPoint {
    MeterPoint point;
    std::size_t visit = 0;
    double mhz = 0;
    double band_low = 0, band_high = 0;  // of the signal there
    double expected = 0, worst_low = 0, worst_high = 0;
    double unknown = 0;  // dB either side that the plan leaves open: which carrier stands in a user band
    bool optical = false;
    std::vector<Influence> path;  // from roof to point
};

class ChainPoints {
public:
    // `frequencies`: at which points will be asked for, besides band edges and carriers.
    // REQUIRES: the venue has been checked and outlives this.
    ChainPoints(const Venue& venue, const Choices& choices, const std::vector<Frequency>& frequencies);
    ChainPoints(const ChainPoints&) = delete;

    const Chain& chain() const { return chain_; }
    const Choices& choices() const { return choices_; }
    const std::vector<Atom>& atoms() const { return atoms_; }
    std::optional<std::size_t> atom(const Atom& atom) const;

    // None where no signal of that frequency comes to the point.
    std::optional<ChainPoint> at(const MeterPoint& point) const;
    // Points that can be read, besides those of the sheet: every electrical port and conductor that
    // a signal comes to, at its outermost carriers (band edges where there are fewer than two).
    std::vector<MeterPoint> candidates() const;
    // The signal of a visit at a frequency in dBm; none at a frequency that was not asked for.
    std::optional<double> level(std::size_t visit, double mhz) const;
    bool in_band(std::size_t visit, double mhz) const;
    // Visits at one conductor of a port.
    std::vector<std::size_t> visits_at(std::size_t port, int conductor) const;

private:
    bool in_user_bands(std::size_t visit) const { return chain_.behind_single_cable(visit); }
    std::optional<std::size_t> visit_of(const MeterPoint& point) const;
    void fill_levels(ChainPoint& out) const;
    std::vector<Influence> influences(const ChainPoint& point) const;

    Venue venue_;  // with a carrier at every frequency, so that its levels are reckoned
    std::vector<std::vector<std::pair<Frequency, Frequency>>> outermost_;  // per feed and lane
    Choices choices_;
    Chain chain_;
    Levels levels_;
    std::vector<Atom> atoms_;
    std::map<Atom, std::size_t> numbers_;
    std::map<PortRef, std::size_t> ports_;
    std::vector<std::vector<std::size_t>> visits_;  // per port
};

// The outermost carriers of a lane; the edges of its band where fewer than two are in use.
std::pair<Frequency, Frequency> outermost(const Venue& venue, const Feed& feed, const FeedLane& lane);

// The atom that a visit came through.
Atom atom_of(const Chain& chain, std::size_t visit);

}  // namespace mastline
