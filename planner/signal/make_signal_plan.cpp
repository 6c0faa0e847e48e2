// SPDX-License-Identifier: Apache-2.0
#include "mastline/signal/make_signal_plan.hpp"

#include "mastline/signal/find_settings.hpp"
#include "planner/signal/carrier_plan.hpp"
#include "planner/signal/judge.hpp"
#include "planner/signal/levels.hpp"
#include "planner/signal/noise.hpp"
#include "planner/signal/overload.hpp"
#include "planner/signal/plan_power.hpp"
#include "planner/signal/user_bands.hpp"

namespace mastline {

namespace {

// The window of an optical receiver's light.
std::optional<Window> optical_window(const Chain& chain, const ChainPort& port) {
    if (!port.port.optical || port.kind != NodeKind::device) return std::nullopt;
    if (port.port.direction != PortDirection::in) return std::nullopt;
    const auto& data = chain.device(port).data;
    if (!data.optical_low && !data.optical_high) return std::nullopt;
    return Window{data.optical_low.value_or(Level::dbm(-200)),
                  data.optical_high.value_or(Level::dbm(200))};
}

PortLevel port_level(const Chain& chain, const Levels& levels, std::size_t v) {
    const auto& visit = chain.visits()[v];
    const auto& port = chain.ports()[visit.port];
    PortLevel out;
    out.port = port.ref;
    out.conductor = LaneNumber{visit.conductor};
    out.lane = chain.lane(visit);
    out.optical = levels.states()[v].light.has_value();
    out.user_bands = chain.behind_single_cable(v);
    out.low = levels.low(v);
    out.high = levels.high(v);
    const auto& carriers = levels.carriers(visit);
    for (std::size_t i = 0; i < carriers.size() && !out.optical; ++i) {
        out.carriers.push_back(levels.carrier(v, i));
        out.carrier_names.push_back(chain.venue().carriers[carriers[i]].name);
    }
    out.window = out.optical ? optical_window(chain, port) : port.port.window;
    out.margin = window_margin(out);
    return out;
}

std::vector<InputReach> reach_of(const Chain& chain, const std::vector<PortLevel>& levels) {
    std::vector<InputReach> out;
    for (std::size_t p = 0; p < chain.ports().size(); ++p) {
        const auto& port = chain.ports()[p];
        if (port.kind != NodeKind::card) continue;
        InputReach reach{port.ref, {}};
        for (std::size_t v = 0; v < levels.size(); ++v) {
            if (chain.visits()[v].port != p) continue;
            const Gain margin = levels[v].margin.value_or(Gain::db(0));
            reach.lanes.push_back({levels[v].lane, margin >= Gain::db(-1e-6), margin,
                                   chain.parts(chain.visits()[v])});
        }
        out.push_back(std::move(reach));
    }
    return out;
}

}  // namespace

SignalPlan make_signal_plan(const Venue& venue, const Choices& choices, Findings& findings) {
    const Chain chain(venue);
    const Levels levels(chain, choices);
    SignalPlan plan;
    plan.choices = choices;
    for (std::size_t v = 0; v < chain.visits().size(); ++v)
        plan.levels.push_back(port_level(chain, levels, v));
    plan.reach = reach_of(chain, plan.levels);
    plan.noise = carrier_noise(chain, levels, choices);
    plan.amplifiers = amplifier_loads(chain, levels);
    plan.user_bands = deal_user_bands(chain, findings);
    plan.power = plan_power(venue, plan.reach, findings);
    judge_windows(venue, chain, plan.levels, findings);
    judge_wiring(chain, findings);
    judge_noise(venue, plan.noise, findings);
    judge_overload(venue, plan.amplifiers, findings);
    judge_overlaps(chain, levels, findings);
    judge_capacity(venue, findings);
    judge_slope(venue, plan.levels, findings);
    note_extrapolation(chain, levels, findings);
    return plan;
}

SignalPlan make_signal_plan(const Venue& venue, Findings& findings) {
    const auto found = find_settings(venue, findings);
    return make_signal_plan(venue, found.choices, findings);
}

}  // namespace mastline
