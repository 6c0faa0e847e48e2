// SPDX-License-Identifier: Apache-2.0
#include "planner/signal/noise.hpp"

#include <algorithm>
#include <cmath>

#include "mastline/venue/modulation.hpp"

namespace mastline {

namespace {

constexpr double kThermalDbmPerHertz = -173.975;  // k T0, T0 = 290 K
constexpr double kThinMargin = 1.5;               // dB

double linear(double db) { return std::pow(10, db / 10); }

// Noise over carrier, linear, of each carrier of a lane; negative where the bandwidth is unknown.
using Ratios = std::vector<double>;

class NoiseWalk {
public:
    NoiseWalk(const Chain& chain, const Levels& levels, const Choices& choices)
        : chain_(chain), levels_(levels), choices_(choices) {
        for (std::size_t v = 0; v < chain.visits().size(); ++v) ratios_.push_back(ratios_at(v));
    }

    const Ratios& at(std::size_t visit) const { return ratios_[visit]; }
    // Noise over carrier that a stage with this noise figure adds at a visit.
    double added(std::size_t visit, std::size_t i, double noise_figure_db) const {
        return added_to(level(visit, i), visit, i, noise_figure_db);
    }

private:
    double level(std::size_t visit, std::size_t i) const {
        return levels_.states()[visit].tracks[2 + i].nominal;
    }
    const Carrier& carrier(std::size_t visit, std::size_t i) const {
        return chain_.venue().carriers[levels_.carriers(chain_.visits()[visit])[i]];
    }
    double thermal(std::size_t visit, std::size_t i) const {
        return thermal_noise(noise_bandwidth(carrier(visit, i)).value_or(Frequency(1))).dbm();
    }
    double added_to(double level_in, std::size_t visit, std::size_t i, double nf) const {
        return linear(thermal(visit, i) - level_in) * (linear(nf) - 1);
    }

    Ratios ratios_at(std::size_t v) const {
        const auto& visit = chain_.visits()[v];
        const auto count = levels_.carriers(visit).size();
        Ratios out(count, -1);
        for (std::size_t i = 0; i < count; ++i) {
            if (!noise_bandwidth(carrier(v, i))) continue;
            if (!visit.parent) {
                const auto given = chain_.feed_lane(visit).carrier_to_noise;
                out[i] = given ? linear(-given->db()) : linear(thermal(v, i) - level(v, i));
            } else {
                out[i] = ratios_[*visit.parent][i] + stage(v, i);
            }
        }
        return out;
    }

    // What the stage between a visit and its parent adds.
    double stage(std::size_t v, std::size_t i) const {
        const auto& visit = chain_.visits()[v];
        const auto parent = *visit.parent;
        const double in = level(parent, i);
        const auto& light = levels_.states()[parent].light;
        if (visit.run) return light ? 0 : added_to(in, v, i, in - level(v, i));
        const auto& device = chain_.device(visit);
        const auto& path = chain_.path(visit);
        if (path.optical) return 0;
        if (device.data.noise_figure) {
            double at_input = in;
            if (light) at_input += 2 * (light->power - (device.data.optical_reference
                                                            ? device.data.optical_reference->dbm()
                                                            : light->launch));
            return added_to(at_input, v, i, device.data.noise_figure->db());
        }
        if (device.kind == DeviceKind::multiswitch || light) return 0;
        const auto d = chain_.ports()[visit.port].node;
        const double gain =
            path_gain(chain_.venue(), device, choices_[d], path, chain_.visits()[parent].conductor,
                      levels_.states()[parent].tracks[2 + i].mhz);
        return gain < 0 ? added_to(in, v, i, -gain) : 0;
    }

    const Chain& chain_;
    const Levels& levels_;
    const Choices& choices_;
    std::vector<Ratios> ratios_;
};

const CardModel* model_of(const Venue& venue, const Card& card) {
    for (const auto& model : venue.card_models)
        if (model.name == card.model) return &model;
    return nullptr;
}

}  // namespace

Level thermal_noise(Frequency bandwidth) {
    return Level::dbm(kThermalDbmPerHertz +
                      10 * std::log10(static_cast<double>(bandwidth.hertz())));
}

std::vector<CarrierNoise> carrier_noise(const Chain& chain, const Levels& levels,
                                        const Choices& choices) {
    const NoiseWalk walk(chain, levels, choices);
    std::vector<CarrierNoise> out;
    for (std::size_t v = 0; v < chain.visits().size(); ++v) {
        const auto& port = chain.ports()[chain.visits()[v].port];
        if (port.kind != NodeKind::card) continue;
        const auto* model = model_of(chain.venue(), chain.venue().cards[port.node]);
        const auto& carriers = levels.carriers(chain.visits()[v]);
        for (std::size_t i = 0; i < carriers.size(); ++i) {
            double ratio = walk.at(v)[i];
            if (ratio < 0) continue;
            if (model != nullptr && model->noise_figure)
                ratio += walk.added(v, i, model->noise_figure->db());
            const auto& carrier = chain.venue().carriers[carriers[i]];
            CarrierNoise noise{port.ref, chain.lane(chain.visits()[v]), carrier.name,
                               Gain::db(-10 * std::log10(ratio)), threshold_of(carrier), {}};
            if (noise.threshold) noise.margin = noise.carrier_to_noise - *noise.threshold;
            out.push_back(std::move(noise));
        }
    }
    return out;
}

void judge_noise(const Venue& venue, const std::vector<CarrierNoise>& noise, Findings& findings) {
    for (const auto& n : noise) {
        if (!n.margin || n.margin->db() >= kThinMargin) continue;
        const auto carrier = std::find_if(venue.carriers.begin(), venue.carriers.end(),
                                          [&](const Carrier& c) { return c.name == n.carrier; });
        const bool below = n.margin->db() < 0;
        findings.push_back({below ? Severity::error : Severity::warning,
                            below ? "noise.below-threshold" : "noise.thin-margin",
                            to_text(n.input) + " carrier " + n.carrier,
                            "C/N of " + to_text(n.carrier_to_noise) + " against a threshold of " +
                                to_text(*n.threshold),
                            to_text(below ? -*n.margin : *n.margin) + (below ? " short" : " in hand"),
                            "raise the level before the first lossy or noisy part, or choose a more "
                            "robust carrier",
                            carrier != venue.carriers.end() ? carrier->place : Place{}});
    }
}

}  // namespace mastline
