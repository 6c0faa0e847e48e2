// SPDX-License-Identifier: Apache-2.0
// A chain with faults in it and a meter: what would be read. Written apart from the diagnosis and
// from the level rules; the arithmetic of levels is its own, walked from the point back to the feed.
#pragma once

#include <functional>
#include <map>
#include <optional>
#include <random>
#include <string>
#include <vector>

#include "mastline/readings/diagnosis.hpp"
#include "mastline/signal/choices.hpp"
#include "mastline/venue/venue.hpp"

namespace mastline::test {

// What is really wrong.
struct TrueFault {
    ChainPart part;
    std::string port;        // of a device; empty: all
    int lane = 0;            // 0: all
    std::string what;        // "connector", "wet cable", ...
    std::function<double(double mhz)> change;  // dB, electrical
    double light = 0;        // optical dB
    bool dead = false;
    std::vector<std::pair<int, int>> crossed;  // of a run: from lane, to lane
};

// Where parts stand within their tolerances: -1 to 1 of each.
using PartDraws = std::map<std::string, double>;

class FaultSimulator {
public:
    FaultSimulator(const Venue& venue, const Choices& choices, std::uint32_t seed);

    // Every conductor of every port that a signal comes to, at the edges of its band.
    const std::vector<MeterPoint>& points() const { return points_; }
    // Of chance, at least 3 dB at some point.
    TrueFault draw_fault();
    PartDraws draw_parts();
    // Without the meter's error; none: no signal.
    std::optional<double> level(const MeterPoint& point, const std::vector<TrueFault>& faults,
                                const PartDraws& draws = {}) const;
    // With an error anywhere within `accuracy` dB.
    std::vector<PointReading> read(const std::vector<MeterPoint>& at, const std::vector<TrueFault>& faults,
                                   const PartDraws& draws = {}, double accuracy = 1);
    // Whether a fault changes one of the points by at least 3 dB or silences it.
    bool shows(const TrueFault& fault, const std::vector<MeterPoint>& at) const;
    // The points that a fault changes at all.
    std::vector<MeterPoint> changed(const TrueFault& fault, const std::vector<MeterPoint>& at) const;
    double uniform(double from, double to);
    std::size_t below(std::size_t n);

private:
    struct Step {
        ChainPart part;
        std::string port;
        std::size_t index = 0, path = 0;
        int lane = 1;
    };
    struct Signal {
        std::size_t feed = 0, lane = 0;
        std::vector<Step> steps;  // from feed to point
        bool user_band = false;
    };
    std::vector<Signal> signals(const PortRef& port, int lane, const std::vector<TrueFault>& faults) const;
    std::optional<double> good(const MeterPoint& point) const;
    bool is_spare(const Device& device, const Port& port) const;
    bool carries_light(const Signal& signal) const;
    std::optional<double> walk(const Signal& signal, double mhz, bool optical,
                               const std::vector<TrueFault>& faults, const PartDraws& draws) const;
    double feed_level(const Signal& signal, double mhz) const;
    double run_loss(std::size_t run, double mhz) const;
    double device_gain(const Step& step, double mhz) const;
    TrueFault draw_any();
    TrueFault run_fault();
    TrueFault device_fault();
    TrueFault feed_fault();
    TrueFault crossing();

    const Venue& venue_;
    Choices choices_;
    std::mt19937 engine_;
    std::vector<MeterPoint> points_;
    std::map<MeterPoint, std::optional<double>> good_;  // without a fault
};

}  // namespace mastline::test
