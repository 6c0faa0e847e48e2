// SPDX-License-Identifier: Apache-2.0
#include "planner/signal/levels.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "mastline/venue/gain_at.hpp"

namespace mastline {

namespace {

constexpr double kDefaultBandLow = 950, kDefaultBandHigh = 2150;  // MHz, satellite IF

template <class F>
void for_each_track(SignalState& state, F&& f) {
    for (auto& track : state.tracks) f(track);
    for (auto& track : state.high_slot) f(track);
}

double coax_loss(const Run& run, const Cable* cable, double mhz, Temperature t) {
    if (cable == nullptr) return run.loss.value_or(Gain::db(0)).db();
    return cable_loss(*cable, frequency_of_megahertz(mhz), run.length, t).db();
}

void through_coax(const Run& run, const Cable* cable, const Climate& climate, SignalState& state) {
    const double percent =
        run.tolerance_percent.value_or(cable != nullptr ? cable->tolerance_percent : 0);
    const auto usual = run.outdoor ? climate.ambient : Temperature::celsius(20);
    for_each_track(state, [&](Track& track) {
        const double loss = coax_loss(run, cable, track.mhz, usual);
        track.nominal -= loss;
        track.spread.add(loss * percent / 100);
        if (run.tolerance) track.spread.add(run.tolerance->db());
        if (run.outdoor) {
            const double hot = coax_loss(run, cable, track.mhz, climate.hot.value_or(usual)) - loss;
            const double cold = loss - coax_loss(run, cable, track.mhz, climate.cold.value_or(usual));
            track.spread.add(hot, cold);
        }
    });
}

double fibre_loss(const Run& run, const Cable* cable, Wavelength wavelength) {
    if (cable == nullptr) return run.loss.value_or(Gain::db(0)).db();
    const auto per_km =
        wavelength == Wavelength::nm1310 ? cable->loss_1310 : cable->loss_1550;
    return per_km.db() * run.length.metres() / 1000 + cable->connector_loss.db() * run.connectors +
           cable->splice_loss.db() * run.splices;
}

void lose_light(Light& light, double loss, double tolerance) {
    light.power -= loss;
    light.spread.add(tolerance);
}

void through_fibre(const Run& run, const Cable* cable, SignalState& state) {
    if (!state.light) return;
    const double loss = fibre_loss(run, cable, state.light->wavelength);
    const double percent =
        run.tolerance_percent.value_or(cable != nullptr ? cable->tolerance_percent : 0);
    lose_light(*state.light, loss, loss * percent / 100);
    if (run.tolerance) state.light->spread.add(run.tolerance->db());
}

// What the light does to the RF that comes out of a receiver. Its own gain is added by the caller.
void receive(const DeviceData& data, SignalState& state) {
    const auto levelling = data.levelling.value_or(Levelling::none);
    const Light light = state.light.value_or(Light{});
    state.light.reset();
    if (levelling == Levelling::none) {
        const double reference =
            data.optical_reference ? data.optical_reference->dbm() : light.launch;
        for_each_track(state, [&](Track& track) {
            track.nominal += 2 * (light.power - reference);
            track.spread.add_doubled(light.spread);
        });
    }
    if (levelling != Levelling::level_held || !data.held_level || !data.held_at) return;
    const double at = megahertz(*data.held_at);
    const auto held = std::find_if(state.tracks.begin() + 2, state.tracks.end(),
                                   [&](const Track& t) { return t.mhz == at; });
    if (held == state.tracks.end()) return;
    const double raise = data.held_level->dbm() - held->nominal;
    for_each_track(state, [&](Track& track) {
        track.nominal += raise;
        track.spread = {};
    });
}

// The tracks of a single-cable output: each signal may stand in any user band, so every track is
// carried in the lowest and in the highest of them.
void into_user_bands(const DeviceData& data, std::size_t carriers, SignalState& state) {
    if (data.user_bands.empty()) return;
    const auto [first, last] = std::minmax_element(data.user_bands.begin(), data.user_bands.end());
    if (data.output_level)
        for_each_track(state, [&](Track& track) {
            track.nominal = data.output_level->dbm();
            track.spread = {};
        });
    state.tracks.resize(2 + carriers);
    state.high_slot = state.tracks;
    for (auto& track : state.tracks) track.mhz = megahertz(*first);
    for (auto& track : state.high_slot) track.mhz = megahertz(*last);
}

void through_device(const Venue& venue, const Device& device, const DeviceChoice& choice,
                    const PortPath& path, int conductor, SignalState& state) {
    const auto& data = device.data;
    if (path.optical) {
        if (state.light)
            lose_light(*state.light, -path_gain(venue, device, choice, path, conductor, 0),
                       path.tolerance.db());
        return;
    }
    if (device.kind == DeviceKind::optical_receiver && data.levelling == Levelling::level_held) {
        receive(data, state);
    } else {
        for_each_track(state, [&](Track& track) {
            track.nominal += path_gain(venue, device, choice, path, conductor, track.mhz);
        });
        if (device.kind == DeviceKind::optical_receiver) receive(data, state);
    }
    if (device.kind == DeviceKind::optical_transmitter) {
        const double launch = data.launch_power.value_or(Level::dbm(0)).dbm();
        state.light = Light{launch, launch, data.wavelength.value_or(Wavelength::nm1310), {}};
    }
}

void add_device_tolerance(const Venue& venue, const DeviceChoice& choice, const PortPath& path,
                          int conductor, SignalState& state) {
    const auto lane = static_cast<std::size_t>(conductor) - 1;
    for_each_track(state, [&](Track& track) {
        if (choice.tap) track.spread.add(venue.stock.taps[*choice.tap].tolerance.db());
        else track.spread.add(path.tolerance.db());
        if (lane < choice.pads.size() && choice.pads[lane])
            track.spread.add(choice.pads[lane]->tolerance.db());
    });
}

// The lowest slot shows the stronger band edge and the highest the weaker one, so that the limits hold
// for every carrier.
const Track& slot_edge(const SignalState& state, std::size_t edge) {
    const auto& slot = edge == 0 ? state.tracks : state.high_slot;
    const bool first_is_weaker = slot[0].nominal < slot[1].nominal;
    return slot[(edge == 0) == first_is_weaker ? 1 : 0];
}

std::vector<double> held_frequencies(const Venue& venue) {
    std::set<double> held;
    for (const auto& device : venue.devices)
        if (device.data.levelling == Levelling::level_held && device.data.held_at)
            held.insert(megahertz(*device.data.held_at));
    return {held.begin(), held.end()};
}

}  // namespace

void LevelSpread::add(double fall, double rise) {
    down += fall;
    up += rise;
    down_squares += fall * fall;
    up_squares += rise * rise;
}

void LevelSpread::add_doubled(const LevelSpread& light) {
    down += 2 * light.down;
    up += 2 * light.up;
    down_squares += 4 * light.down_squares;
    up_squares += 4 * light.up_squares;
}

double slope_share(const DeviceData& data, double mhz) {
    const double low = data.band_low ? megahertz(*data.band_low) : kDefaultBandLow;
    const double high = data.band_high ? megahertz(*data.band_high) : kDefaultBandHigh;
    return high > low ? std::clamp((high - mhz) / (high - low), 0.0, 1.0) : 0;
}

double path_gain(const Venue& venue, const Device& device, const DeviceChoice& choice,
                 const PortPath& path, int conductor, double mhz) {
    if (choice.tap) {
        const auto& tap = venue.stock.taps[*choice.tap];
        return -(path.to == "out" ? tap.through_loss : tap.tap_loss).db();
    }
    const auto lane = static_cast<std::size_t>(conductor) - 1;
    double gain = gain_at(path.gain, frequency_of_megahertz(mhz)).db();
    if (lane < choice.trim.size())
        gain += choice.trim[lane].db() - choice.slope.db() * slope_share(device.data, mhz);
    if (lane < choice.pads.size() && choice.pads[lane]) gain -= choice.pads[lane]->loss.db();
    return gain;
}

Levels::Levels(const Chain& chain, const Choices& choices)
    : chain_(chain), held_(held_frequencies(chain.venue())) {
    const auto& venue = chain.venue();
    for (const auto& feed : venue.feeds) carriers_.emplace_back(feed.lanes.size());
    for (std::size_t c = 0; c < venue.carriers.size(); ++c)
        for (std::size_t f = 0; f < venue.feeds.size(); ++f) {
            const auto lane = static_cast<std::size_t>(venue.carriers[c].lane.value) - 1;
            if (venue.feeds[f].name == venue.carriers[c].feed && lane < carriers_[f].size())
                carriers_[f][lane].push_back(c);
        }
    states_.reserve(chain.visits().size());
    for (const auto& visit : chain.visits()) {
        if (!visit.parent) {
            states_.push_back(start(visit));
            continue;
        }
        const auto& before = chain.visits()[*visit.parent];
        SignalState state = states_[*visit.parent];
        if (visit.run) {
            const auto& run = venue.runs[*visit.run];
            const auto* cable = chain.cable(run);
            if (run.medium == RunMedium::fibre) through_fibre(run, cable, state);
            else through_coax(run, cable, venue.climate, state);
        } else {
            const auto d = chain.ports()[visit.port].node;
            const auto& path = chain.path(visit);
            through_device(venue, venue.devices[d], choices[d], path, before.conductor, state);
            if (chain.ports()[visit.port].port.carries_all)
                into_user_bands(venue.devices[d].data, carriers(visit).size(), state);
            if (!path.optical)
                add_device_tolerance(venue, choices[d], path, before.conductor, state);
        }
        states_.push_back(std::move(state));
    }
}

SignalState Levels::start(const Visit& visit) const {
    const auto& lane = chain_.feed_lane(visit);
    const double low = megahertz(lane.band.low), high = megahertz(lane.band.high);
    const auto track = [&](double mhz) {
        const double share = high > low ? (mhz - low) / (high - low) : 0;
        Track t;
        t.mhz = mhz;
        t.nominal = lane.level_low.dbm() + (lane.level_high.dbm() - lane.level_low.dbm()) * share;
        t.spread.add(lane.tolerance.db());
        return t;
    };
    SignalState state;
    state.tracks = {track(low), track(high)};
    for (const auto c : carriers(visit)) {
        const auto& carrier = chain_.venue().carriers[c];
        auto t = track(megahertz(carrier.frequency));
        if (carrier.level) t.nominal = carrier.level->dbm();
        state.tracks.push_back(t);
    }
    for (const double mhz : held_) state.tracks.push_back(track(mhz));
    return state;
}

LevelRange Levels::range(std::size_t visit, std::size_t track) const {
    const auto& state = states_[visit];
    const auto of = [](double mhz, double nominal, const LevelSpread& s) {
        return LevelRange{frequency_of_megahertz(mhz), Level::dbm(nominal),
                          Level::dbm(nominal - s.down), Level::dbm(nominal + s.up),
                          Level::dbm(nominal - std::sqrt(s.down_squares)),
                          Level::dbm(nominal + std::sqrt(s.up_squares))};
    };
    const auto& t = state.tracks[track];
    if (state.light) return of(t.mhz, state.light->power, state.light->spread);
    if (!state.high_slot.empty() && track < 2) {
        const auto& edge = slot_edge(state, track);
        return of(edge.mhz, edge.nominal, edge.spread);
    }
    auto out = of(t.mhz, t.nominal, t.spread);
    if (state.high_slot.empty()) return out;
    const auto& h = state.high_slot[track];
    const auto other = of(h.mhz, h.nominal, h.spread);
    out.nominal = out.nominal + (other.nominal - out.nominal) * 0.5;
    out.worst_low = std::min(out.worst_low, other.worst_low);
    out.worst_high = std::max(out.worst_high, other.worst_high);
    out.rss_low = std::min(out.rss_low, other.rss_low);
    out.rss_high = std::max(out.rss_high, other.rss_high);
    return out;
}

}  // namespace mastline
