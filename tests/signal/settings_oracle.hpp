// SPDX-License-Identifier: Apache-2.0
// Random trees with open settings, and the same question asked of GLPK in a model of its own: written
// from the rules of the trade, without the planner's reckoning of levels.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "mastline/signal/choices.hpp"
#include "mastline/venue/venue.hpp"

namespace mastline::test {

struct RandomPad {
    double loss, tolerance;
    int count;
};
struct RandomTap {
    double tap, through, tolerance;
    std::optional<int> count;
};

// One device and the run that leads to it.
struct RandomNode {
    enum class Kind { amplifier, place, tap, splitter, end } kind = Kind::end;
    int parent = -1;           // -1: the feed
    std::string parent_port;   // "out", "tap", "out1", ...
    double run_loss = 0, run_tolerance = 0;
    double cable_metres = 0;   // instead of run_loss where above 0
    double gain = 0, tolerance = 0;
    double trim_low = 0, trim_high = 0, trim_step = 0, slope_high = 0, slope_step = 0;
    std::optional<double> given_slope, maximum_output;
    bool open_tap = false;
    double tap = 0, through = 0;
    double window_low = 0, window_high = 0;
};

struct RandomTree {
    int lanes = 1, carriers = 0;
    std::vector<double> level_low, level_high;  // by lane
    double tolerance = 0;
    std::vector<RandomPad> pads;
    std::vector<RandomTap> taps;
    std::vector<RandomNode> nodes;
};

RandomTree random_tree(std::uint32_t seed);
std::string venue_text(const RandomTree& tree);

struct OracleAnswer {
    bool possible = true;
    double margin = 0;  // negative: by how much the worst-kept limit is missed at least
    int pads = 0;
};
// Throws std::runtime_error where GLPK finds no optimum in time.
OracleAnswer ask_glpk(const RandomTree& tree);

// Least margin that settings give, by the oracle's own reckoning; amplifiers beyond their output or
// settings off their steps and ranges or beyond the stock: a sentence in `faults`.
double margin_under(const RandomTree& tree, const Venue& venue, const Choices& choices,
                    std::vector<std::string>& faults);

}  // namespace mastline::test
