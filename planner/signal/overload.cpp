// SPDX-License-Identifier: Apache-2.0
#include "planner/signal/overload.hpp"

#include <algorithm>
#include <cmath>
#include <map>

namespace mastline {

namespace {

// What all signals on one conductor of an amplifier output come to.
void add_signal(AmplifierLoad& load, const Levels& levels, const Visit& visit, std::size_t v) {
    load.highest = std::max({load.highest, levels.low(v).worst_high, levels.high(v).worst_high});
    for (std::size_t i = 0; i < levels.carriers(visit).size(); ++i) {
        const auto level = levels.carrier(v, i);
        load.highest = std::max(load.highest, level.worst_high);
        load.total_power =
            load.carriers == 0 ? level.nominal : combined_power(load.total_power, level.nominal);
        ++load.carriers;
    }
    if (load.carriers == 0) load.total_power = std::max(levels.low(v).nominal, levels.high(v).nominal);
}

}  // namespace

Gain derating(Derating kind, int carriers) {
    if (carriers < 3 || kind == Derating::none) return Gain::db(0);
    const double ctb = 7.5 * std::log10(carriers - 1), power = 10 * std::log10(carriers / 2.0);
    if (kind == Derating::ctb) return Gain::db(ctb);
    if (kind == Derating::power) return Gain::db(power);
    return Gain::db(std::max(ctb, power));
}

Level total_power(Level one, int carriers) {
    return one + Gain::db(10 * std::log10(std::max(1, carriers)));
}

std::vector<AmplifierLoad> amplifier_loads(const Chain& chain, const Levels& levels) {
    std::map<std::pair<std::size_t, int>, AmplifierLoad> loads;
    for (std::size_t v = 0; v < chain.visits().size(); ++v) {
        const auto& visit = chain.visits()[v];
        if (!visit.path || !chain.device(visit).data.maximum_output) continue;
        const auto& port = chain.ports()[visit.port];
        auto [it, fresh] = loads.try_emplace({visit.port, visit.conductor});
        auto& load = it->second;
        if (fresh) {
            load.output = port.ref;
            load.conductor = LaneNumber{visit.conductor};
            load.highest = Level::dbm(-1000);
        }
        add_signal(load, levels, visit, v);
    }
    std::vector<AmplifierLoad> out;
    for (auto& [key, load] : loads) {
        const auto& data = chain.device(chain.ports()[key.first]).data;
        load.limit = *data.maximum_output -
                     derating(data.derating.value_or(Derating::cautious), load.carriers);
        load.margin = load.limit - load.highest;
        out.push_back(load);
    }
    return out;
}

void judge_overload(const Venue& venue, const std::vector<AmplifierLoad>& loads, Findings& findings) {
    for (const auto& load : loads) {
        if (load.margin >= Gain::db(-1e-6)) continue;
        const auto device = std::find_if(venue.devices.begin(), venue.devices.end(),
                                         [&](const Device& d) { return d.name == load.output.device; });
        findings.push_back(
            {Severity::error, "amplifier.overdriven",
             to_text(load.output) + " lane " + std::to_string(load.conductor.value),
             "worst case " + to_text(load.highest) + " is above the greatest output of " +
                 to_text(load.limit) + " with " + std::to_string(load.carriers) + " carriers",
             to_text(-load.margin),
             "lower its trim or insert a pad of " +
                 number_text(std::ceil(-load.margin.db() - 1e-9), 1) + " dB before " + device->name,
             device->place});
    }
}

}  // namespace mastline
