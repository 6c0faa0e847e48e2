// SPDX-License-Identifier: Apache-2.0
// The settings that the venue leaves open, as numbered unknowns.
#pragma once

#include <cstddef>
#include <vector>

#include "mastline/signal/choices.hpp"
#include "mastline/venue/venue.hpp"

namespace mastline {

// One unknown. A pad or tap of one stocked value is 1 where it is fitted, else 0. What could be
// changed about a run is an unknown as well (cheapest_cure.hpp).
struct Unknown {
    enum class Kind { trim, slope, pad, tap, run_pad, run_equaliser, run_shorter, run_gain };
    Kind kind = Kind::trim;
    std::size_t part = 0;   // index into the venue's devices; of run_...: its runs
    std::size_t lane = 0;   // from 0
    std::size_t stock = 0;  // index into the stocked pads or taps
    double low = 0, high = 1;
    double step = 0;        // from low; 0: continuous
    double cost = 0;        // of changing a run at all
};

class OpenSettings {
public:
    explicit OpenSettings(const Venue& venue);

    const std::vector<Unknown>& unknowns() const { return unknowns_; }
    bool empty() const { return unknowns_.empty(); }
    // As given, and every open setting at 0 dB, without pad and tap.
    const Choices& base() const { return base_; }
    // Further unknowns, of runs.
    void add(const Unknown& unknown) { unknowns_.push_back(unknown); }
    // The base with the unknowns at these values.
    Choices choices(const Venue& venue, const std::vector<double>& values) const;
    // What is left of a stocked pad once the given ones are fitted.
    int pads_left(std::size_t stock) const { return pads_left_[stock]; }

private:
    void open_amplifier(std::size_t d, const Device& device);
    void open_pads(std::size_t d, const Device& device, const Stock& stock);
    void open_tap(std::size_t d, const Stock& stock);
    void count_stock(const Venue& venue);

    std::vector<Unknown> unknowns_;
    Choices base_;
    std::vector<int> pads_left_;
};

}  // namespace mastline
