// SPDX-License-Identifier: Apache-2.0
#include "planner/readings/tolerances.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <string>

namespace mastline {

namespace {

// Shares of the variance of a part's tolerance.
constexpr double kWholePart = 0.4, kLane = 0.4, kLaneTilt = 0.2;
constexpr double kOffsetShare = 0.25;  // of the meter's accuracy, one for all its readings

double coax_loss(const Chain& chain, const Run& run, double mhz, Temperature t) {
    const auto* cable = chain.cable(run);
    if (cable == nullptr) return run.loss.value_or(Gain::db(0)).db();
    return cable_loss(*cable, frequency_of_megahertz(mhz), run.length, t).db();
}

double fibre_loss(const Chain& chain, const Run& run) {
    const auto* cable = chain.cable(run);
    if (cable == nullptr) return run.loss.value_or(Gain::db(0)).db();
    return std::max(cable->loss_1310, cable->loss_1550).db() * run.length.metres() / 1000 +
           cable->connector_loss.db() * run.connectors + cable->splice_loss.db() * run.splices;
}

double run_tolerance(const Chain& chain, const Run& run, double mhz) {
    const auto* cable = chain.cable(run);
    const double percent =
        run.tolerance_percent.value_or(cable != nullptr ? cable->tolerance_percent : 0);
    const double loss = run.medium == RunMedium::fibre
                            ? fibre_loss(chain, run)
                            : coax_loss(chain, run, mhz, Temperature::celsius(20));
    return loss * percent / 100 + run.tolerance.value_or(Gain::db(0)).db();
}

double path_tolerance(const ChainPoints& points, const Atom& atom) {
    const auto& venue = points.chain().venue();
    const auto& choice = points.choices()[atom.part];
    const auto lane = static_cast<std::size_t>(atom.conductor) - 1;
    double out = choice.tap ? venue.stock.taps[*choice.tap].tolerance.db()
                            : venue.devices[atom.part].paths[atom.path].tolerance.db();
    if (lane < choice.pads.size() && choice.pads[lane]) out += choice.pads[lane]->tolerance.db();
    return out;
}

// Plus or minus, in dB of the atom's own kind: optical for light.
double tolerance_of(const ChainPoints& points, const Atom& atom, double mhz) {
    const auto& chain = points.chain();
    const auto& venue = chain.venue();
    switch (atom.kind) {
        case AtomKind::feed:
            return venue.feeds[atom.part].lanes[static_cast<std::size_t>(atom.conductor) - 1].tolerance.db();
        case AtomKind::run: return run_tolerance(chain, venue.runs[atom.part], mhz);
        case AtomKind::path: return path_tolerance(points, atom);
    }
    return 0;
}

// A quarter of the change of a run's loss between the coldest and the hottest day.
double climate_deviation(const ChainPoints& points, const Atom& atom, double mhz) {
    const auto& chain = points.chain();
    if (atom.kind != AtomKind::run) return 0;
    const auto& run = chain.venue().runs[atom.part];
    const auto& climate = chain.venue().climate;
    if (!run.outdoor || run.medium == RunMedium::fibre) return 0;
    return (coax_loss(chain, run, mhz, climate.hot.value_or(climate.ambient)) -
            coax_loss(chain, run, mhz, climate.cold.value_or(climate.ambient))) / 4;
}

// -1 at the low edge of the signal's band, 1 at its high edge.
double tilt(const ChainPoint& point, double mhz) {
    if (point.band_high <= point.band_low) return 0;
    return std::clamp(2 * (mhz - point.band_low) / (point.band_high - point.band_low) - 1, -1.0, 1.0);
}

// One source of chance and what it does to each sighting.
class Draws {
public:
    explicit Draws(Eigen::Index size) : sum_(Eigen::MatrixXd::Zero(size, size)) {}
    void add(const std::string& name, Eigen::Index row, double deviation) {
        if (deviation == 0) return;
        auto& draw = draws_[name];
        if (!draw.empty() && draw.back().first == row) draw.back().second += deviation;
        else draw.emplace_back(row, deviation);
    }
    Eigen::MatrixXd sum() {
        for (const auto& [name, draw] : draws_)
            for (const auto& [i, a] : draw)
                for (const auto& [j, b] : draw) sum_(i, j) += a * b;
        return std::move(sum_);
    }

private:
    Eigen::MatrixXd sum_;
    std::map<std::string, std::vector<std::pair<Eigen::Index, double>>> draws_;
};

void add_part(Draws& draws, const ChainPoints& chain, const ChainPoint& point,
              const Influence& influence, Eigen::Index row) {
    const auto& atom = chain.atoms()[influence.atom];
    const bool light = influence.electrical == 0;
    const auto at = [&](double mhz) { return tolerance_of(chain, atom, mhz) / std::sqrt(3.0); };
    const double held = influence.held ? at(*influence.held) : 0;
    const double flat = light ? influence.light * at(point.mhz)
                              : influence.electrical * (at(point.mhz) - held);
    const double slant =
        light ? 0
              : influence.electrical *
                    (at(point.mhz) * tilt(point, point.mhz) -
                     (influence.held ? held * tilt(point, *influence.held) : 0));
    const auto part = std::to_string(static_cast<int>(atom.kind)) + "/" + std::to_string(atom.part);
    const auto lane = std::to_string(influence.atom);
    draws.add("part " + part, row, flat * std::sqrt(kWholePart));
    draws.add("lane " + lane, row, flat * std::sqrt(kLane));
    draws.add("tilt " + lane, row, slant * std::sqrt(kLaneTilt));
}

}  // namespace

Covariance covariance(const ChainPoints& chain, const std::vector<Sighting>& sightings,
                      const Meter& meter) {
    const auto size = static_cast<Eigen::Index>(sightings.size());
    Draws always(size), parts(size);
    Eigen::VectorXd own(size);
    const double error = meter.accuracy.db() / 2;
    for (Eigen::Index row = 0; row < size; ++row) {
        const auto& sighting = sightings[static_cast<std::size_t>(row)];
        const auto& point = *sighting.point;
        const auto occasion = std::to_string(sighting.occasion);
        own(row) = error * error / std::max(sighting.count, 1) + point.unknown * point.unknown;
        always.add("meter " + occasion + sighting.instrument, row,
                   meter.accuracy.db() * kOffsetShare * (point.optical ? 0 : 1));
        for (const auto& influence : point.path) {
            add_part(parts, chain, point, influence, row);
            const auto& atom = chain.atoms()[influence.atom];
            const double held = influence.held ? climate_deviation(chain, atom, *influence.held) : 0;
            always.add("climate " + occasion, row,
                       influence.electrical * (climate_deviation(chain, atom, point.mhz) - held));
        }
    }
    Covariance out{always.sum(), parts.sum()};
    out.always.diagonal() += own;
    return out;
}

}  // namespace mastline
