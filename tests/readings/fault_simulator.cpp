// SPDX-License-Identifier: Apache-2.0
#include "readings/fault_simulator.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "mastline/venue/cables.hpp"

namespace mastline::test {

namespace {

double at_frequency(const std::vector<GainPoint>& points, double mhz) {
    if (points.empty()) return 0;
    std::vector<std::pair<double, double>> table;
    for (const auto& p : points) table.emplace_back(static_cast<double>(p.at.hertz()) / 1e6, p.gain.db());
    std::sort(table.begin(), table.end());
    if (table.size() == 1 || mhz <= table.front().first) return table.front().second;
    for (std::size_t i = 1; i < table.size(); ++i)
        if (mhz <= table[i].first)
            return table[i - 1].second + (table[i].second - table[i - 1].second) *
                                             (mhz - table[i - 1].first) / (table[i].first - table[i - 1].first);
    return table.back().second;
}

const Cable* cable_of(const Venue& venue, const Run& run) {
    if (run.loss) return nullptr;
    for (const auto& cable : venue.cables)
        if (cable.name == run.cable) return &cable;
    for (const auto& cable : built_in_cables())
        if (cable.name == run.cable) return &cable;
    return nullptr;
}

// The lowest and the highest user band.
std::set<Frequency> outer_of(const std::vector<Frequency>& bands) {
    if (bands.empty()) return {};
    const auto [low, high] = std::minmax_element(bands.begin(), bands.end());
    return {*low, *high};
}

double draw_of(const PartDraws& draws, const std::string& name) {
    const auto it = draws.find(name);
    return it == draws.end() ? 0 : it->second;
}

std::string draw_name(const ChainPart& part, const std::string& port, int lane) {
    return to_text(part) + "/" + port + "/" + std::to_string(lane);
}

bool hits(const TrueFault& fault, const ChainPart& part, const std::string& port, int lane) {
    return fault.part == part && (fault.port.empty() || fault.port == port) &&
           (fault.lane == 0 || fault.lane == lane);
}

}  // namespace

FaultSimulator::FaultSimulator(const Venue& venue, const Choices& choices, std::uint32_t seed)
    : venue_(venue), choices_(choices), engine_(seed) {
    std::set<MeterPoint> all;
    const auto add = [&](const PortRef& ref, int lanes) {
        for (int lane = 1; lane <= lanes; ++lane)
            for (const auto& signal : signals(ref, lane, {})) {
                if (carries_light(signal)) {
                    all.insert({ref, LaneNumber{lane}, std::nullopt});
                    continue;
                }
                if (signal.user_band) {
                    for (const auto& step : signal.steps)
                        if (step.part.kind == PartKind::device)
                            for (const auto band : outer_of(venue_.devices[step.index].data.user_bands))
                                all.insert({ref, LaneNumber{lane}, band});
                    continue;
                }
                const auto& band = venue_.feeds[signal.feed].lanes[signal.lane].band;
                all.insert({ref, LaneNumber{lane}, band.low});
                all.insert({ref, LaneNumber{lane}, band.high});
            }
    };
    for (const auto& feed : venue.feeds) add({feed.name, "out"}, static_cast<int>(feed.lanes.size()));
    for (const auto& device : venue.devices)
        for (const auto& port : device.ports)
            if (!is_spare(device, port)) add({device.name, port.name}, port.lanes);
    for (const auto& run : venue.runs) add(run.to, 64);  // ends at cards too
    points_.assign(all.begin(), all.end());
    for (const auto& point : points_) good_[point] = level(point, {});
}

std::optional<double> FaultSimulator::good(const MeterPoint& point) const {
    const auto it = good_.find(point);
    return it != good_.end() ? it->second : level(point, {});
}

// An output that nothing is plugged into, beside others that are in use.
bool FaultSimulator::is_spare(const Device& device, const Port& port) const {
    const auto used = [&](const std::string& name) {
        return std::any_of(venue_.runs.begin(), venue_.runs.end(),
                           [&](const Run& run) { return run.from == PortRef{device.name, name}; });
    };
    if (port.direction == PortDirection::in || used(port.name)) return false;
    return std::any_of(device.ports.begin(), device.ports.end(), [&](const Port& p) { return used(p.name); });
}

double FaultSimulator::uniform(double from, double to) {
    return from + (to - from) * static_cast<double>(engine_()) / 4294967296.0;
}

std::size_t FaultSimulator::below(std::size_t n) { return engine_() % n; }

bool FaultSimulator::carries_light(const Signal& signal) const {
    bool light = false;
    for (const auto& step : signal.steps) {
        if (step.part.kind != PartKind::device) continue;
        const auto kind = venue_.devices[step.index].kind;
        if (kind == DeviceKind::optical_transmitter) light = true;
        if (kind == DeviceKind::optical_receiver) light = false;
    }
    return light;
}

std::vector<FaultSimulator::Signal> FaultSimulator::signals(const PortRef& port, int lane,
                                                            const std::vector<TrueFault>& faults) const {
    for (std::size_t f = 0; f < venue_.feeds.size(); ++f)
        if (venue_.feeds[f].name == port.device) {
            const auto& feed = venue_.feeds[f];
            if (lane > static_cast<int>(feed.lanes.size())) return {};
            return {{f, static_cast<std::size_t>(lane) - 1, {{{PartKind::feed, feed.name}, "", f, 0, lane}}, false}};
        }
    // The run that ends here.
    for (std::size_t r = 0; r < venue_.runs.size(); ++r) {
        const auto& run = venue_.runs[r];
        if (run.to != port) continue;
        for (const auto& pair : run.lanes) {
            if (pair.to.value != lane) continue;
            int from = pair.from.value;
            for (const auto& fault : faults)
                if (fault.part == ChainPart{PartKind::run, run.name})
                    for (const auto& [a, b] : fault.crossed)
                        if (b == pair.from.value) from = a;
            auto out = signals(run.from, from, faults);
            for (auto& signal : out)
                signal.steps.push_back({{PartKind::run, run.name}, "", r, 0, from});
            return out;
        }
    }
    // The paths of the device that end here.
    for (std::size_t d = 0; d < venue_.devices.size(); ++d) {
        const auto& device = venue_.devices[d];
        if (device.name != port.device) continue;
        const auto here = std::find_if(device.ports.begin(), device.ports.end(),
                                       [&](const Port& p) { return p.name == port.port; });
        if (here == device.ports.end() || here->direction == PortDirection::in || lane > here->lanes) return {};
        std::vector<Signal> out;
        for (std::size_t p = 0; p < device.paths.size(); ++p) {
            if (device.paths[p].to != port.port) continue;
            for (int c = 1; c <= device.lanes; ++c) {
                if (here->lanes > 1 && c != lane) continue;
                for (auto signal : signals({device.name, device.paths[p].from}, c, faults)) {
                    const std::string name = device.paths[p].to == "out" && device.paths.size() > 1 &&
                                                     device.kind == DeviceKind::combiner
                                                 ? device.paths[p].from : port.port;
                    signal.steps.push_back({{PartKind::device, device.name}, name, d, p, c});
                    signal.user_band = signal.user_band || here->carries_all;
                    out.push_back(std::move(signal));
                }
            }
        }
        return out;
    }
    return {};
}

double FaultSimulator::feed_level(const Signal& signal, double mhz) const {
    const auto& lane = venue_.feeds[signal.feed].lanes[signal.lane];
    const double low = static_cast<double>(lane.band.low.hertz()) / 1e6;
    const double high = static_cast<double>(lane.band.high.hertz()) / 1e6;
    return lane.level_low.dbm() + (lane.level_high.dbm() - lane.level_low.dbm()) * (mhz - low) / (high - low);
}

double FaultSimulator::run_loss(std::size_t r, double mhz) const {
    const auto& run = venue_.runs[r];
    const auto* cable = cable_of(venue_, run);
    if (cable == nullptr) return run.loss ? run.loss->db() : 0;
    if (run.medium == RunMedium::fibre)
        return cable->loss_1310.db() * run.length.metres() / 1000 + cable->connector_loss.db() * run.connectors +
               cable->splice_loss.db() * run.splices;
    const auto t = run.outdoor ? venue_.climate.ambient : Temperature::celsius(20);
    return cable_loss(*cable, Frequency(static_cast<std::int64_t>(std::llround(mhz * 1e6))), run.length, t).db();
}

double FaultSimulator::device_gain(const Step& step, double mhz) const {
    const auto& device = venue_.devices[step.index];
    const auto& choice = choices_[step.index];
    if (choice.tap) {
        const auto& tap = venue_.stock.taps[*choice.tap];
        return -(device.paths[step.path].to == "out" ? tap.through_loss : tap.tap_loss).db();
    }
    const auto lane = static_cast<std::size_t>(step.lane) - 1;
    double gain = at_frequency(device.paths[step.path].gain, mhz);
    if (!choice.trim.empty()) {
        const double low = device.data.band_low ? static_cast<double>(device.data.band_low->hertz()) / 1e6 : 950;
        const double high = device.data.band_high ? static_cast<double>(device.data.band_high->hertz()) / 1e6 : 2150;
        gain += choice.trim[lane].db() - choice.slope.db() * std::clamp((high - mhz) / (high - low), 0.0, 1.0);
    }
    if (!choice.pads.empty() && choice.pads[lane]) gain -= choice.pads[lane]->loss.db();
    return gain;
}

std::optional<double> FaultSimulator::walk(const Signal& signal, double mhz, bool optical,
                                           const std::vector<TrueFault>& faults, const PartDraws& draws) const {
    // The level at every frequency that a receiver on the way holds, besides the one asked for.
    std::vector<double> frequencies{mhz};
    for (const auto& step : signal.steps)
        if (step.part.kind == PartKind::device && venue_.devices[step.index].data.held_at)
            frequencies.push_back(static_cast<double>(venue_.devices[step.index].data.held_at->hertz()) / 1e6);
    std::vector<double> rf;
    for (const double f : frequencies) rf.push_back(feed_level(signal, f));
    double launch = 0, light = 0;
    bool lit = true, light_on = true;
    for (const auto& step : signal.steps) {
        const double draw = draw_of(draws, draw_name(step.part, step.port, step.lane));
        double light_fault = 0;
        bool dead = false;
        std::vector<double> change(rf.size(), 0);
        for (const auto& fault : faults) {
            if (!hits(fault, step.part, step.port, step.lane)) continue;
            dead = dead || fault.dead;
            light_fault += fault.light;
            for (std::size_t i = 0; i < rf.size() && fault.change; ++i) change[i] += fault.change(frequencies[i]);
        }
        if (step.part.kind == PartKind::feed) {
            const double t = venue_.feeds[signal.feed].lanes[signal.lane].tolerance.db();
            for (std::size_t i = 0; i < rf.size(); ++i) rf[i] += t * draw + change[i];
        } else if (step.part.kind == PartKind::run) {
            const auto& run = venue_.runs[step.index];
            const auto* cable = cable_of(venue_, run);
            const double percent = run.tolerance_percent.value_or(cable != nullptr ? cable->tolerance_percent : 0);
            const double flat = run.tolerance ? run.tolerance->db() : 0;
            if (run.medium == RunMedium::fibre) {
                light += -run_loss(step.index, mhz) * (1 + percent / 100 * draw) + flat * draw + light_fault;
                if (dead) light_on = false;
                for (std::size_t i = 0; i < rf.size(); ++i) rf[i] += change[i];
            } else {
                for (std::size_t i = 0; i < rf.size(); ++i)
                    rf[i] += -run_loss(step.index, frequencies[i]) * (1 + percent / 100 * draw) + flat * draw + change[i];
            }
        } else {
            const auto& device = venue_.devices[step.index];
            const auto& data = device.data;
            double t = device.paths[step.path].tolerance.db();
            if (choices_[step.index].tap) t = venue_.stock.taps[*choices_[step.index].tap].tolerance.db();
            const auto lane = static_cast<std::size_t>(step.lane) - 1;
            const auto& pads = choices_[step.index].pads;
            if (lane < pads.size() && pads[lane]) t += pads[lane]->tolerance.db();
            const bool receiver = device.kind == DeviceKind::optical_receiver;
            const auto levelling = data.levelling.value_or(Levelling::none);
            if (receiver && !light_on) dead = true;
            if (receiver && levelling == Levelling::level_held) {
                const double hold = static_cast<double>(data.held_at->hertz()) / 1e6;
                for (std::size_t i = 1; i < frequencies.size(); ++i)
                    if (frequencies[i] == hold) {
                        const double raise = data.held_level->dbm() - rf[i];
                        for (auto& level : rf) level += raise;
                        break;
                    }
            } else {
                for (std::size_t i = 0; i < rf.size(); ++i) rf[i] += device_gain(step, frequencies[i]);
                if (receiver && levelling == Levelling::none)
                    for (auto& level : rf)
                        level += 2 * (light - (data.optical_reference ? data.optical_reference->dbm() : launch));
            }
            if (device.kind == DeviceKind::optical_transmitter) {
                launch = data.launch_power ? data.launch_power->dbm() : 0;
                light = launch + light_fault;
            }
            const auto out = std::find_if(device.ports.begin(), device.ports.end(), [&](const Port& p) {
                return p.name == device.paths[step.path].to;
            });
            if (out->carries_all && data.output_level)
                for (auto& level : rf) level = data.output_level->dbm();
            for (std::size_t i = 0; i < rf.size(); ++i) rf[i] += t * draw + change[i];
        }
        if (dead) lit = false;
    }
    if (optical) return light_on ? std::optional(light) : std::nullopt;
    return lit ? std::optional(rf[0]) : std::nullopt;
}

std::optional<double> FaultSimulator::level(const MeterPoint& point, const std::vector<TrueFault>& faults,
                                            const PartDraws& draws) const {
    for (const auto& signal : signals(point.port, point.lane.value, faults)) {
        if (!point.frequency) return walk(signal, 1000, true, faults, draws);
        const auto& band = venue_.feeds[signal.feed].lanes[signal.lane].band;
        if (!signal.user_band && (*point.frequency < band.low || *point.frequency > band.high)) continue;
        // A multiswitch that holds its level is as strong with whatever comes in.
        auto steps = signal;
        if (signal.user_band) {
            std::size_t last = 0;
            for (std::size_t i = 0; i < steps.steps.size(); ++i)
                if (steps.steps[i].part.kind == PartKind::device &&
                    venue_.devices[steps.steps[i].index].kind == DeviceKind::multiswitch)
                    last = i;
            steps.steps.erase(steps.steps.begin(), steps.steps.begin() + static_cast<std::ptrdiff_t>(last));
        }
        return walk(steps, static_cast<double>(point.frequency->hertz()) / 1e6, false, faults, draws);
    }
    return std::nullopt;
}

bool FaultSimulator::shows(const TrueFault& fault, const std::vector<MeterPoint>& at) const {
    return std::any_of(at.begin(), at.end(), [&](const MeterPoint& point) {
        const auto was = good(point), is = level(point, {fault});
        return was && (!is || std::abs(*is - *was) >= 3);
    });
}

std::vector<MeterPoint> FaultSimulator::changed(const TrueFault& fault, const std::vector<MeterPoint>& at) const {
    std::vector<MeterPoint> out;
    for (const auto& point : at) {
        const auto was = good(point), is = level(point, {fault});
        if (was && (!is || std::abs(*is - *was) > 1e-6)) out.push_back(point);
    }
    return out;
}

std::vector<PointReading> FaultSimulator::read(const std::vector<MeterPoint>& at,
                                               const std::vector<TrueFault>& faults, const PartDraws& draws,
                                               double accuracy) {
    std::vector<PointReading> out;
    for (const auto& point : at) {
        const auto found = level(point, faults, draws);
        PointReading reading;
        reading.point = point;
        if (found) reading.level = Level::dbm(*found + uniform(-accuracy, accuracy));
        out.push_back(std::move(reading));
    }
    return out;
}

PartDraws FaultSimulator::draw_parts() {
    PartDraws out;
    for (const auto& feed : venue_.feeds)
        for (const auto& lane : feed.lanes)
            out[draw_name({PartKind::feed, feed.name}, "", lane.lane.value)] = uniform(-1, 1);
    for (const auto& run : venue_.runs)
        for (const auto& lane : run.lanes)
            out[draw_name({PartKind::run, run.name}, "", lane.from.value)] = uniform(-1, 1);
    for (const auto& device : venue_.devices)
        for (const auto& path : device.paths)
            for (int c = 1; c <= device.lanes; ++c)
                for (const auto& port : {path.from, path.to})
                    out[draw_name({PartKind::device, device.name}, port, c)] = uniform(-1, 1);
    return out;
}

TrueFault FaultSimulator::run_fault() {
    const auto& run = venue_.runs[below(venue_.runs.size())];
    TrueFault out;
    out.part = {PartKind::run, run.name};
    const auto& lane = run.lanes[below(run.lanes.size())];
    out.lane = run.lanes.size() > 1 ? lane.from.value : 0;
    const double amount = uniform(3, 10);
    const auto kind = below(4);
    if (kind == 3) {
        out.what = "cut", out.dead = true;
    } else if (run.medium == RunMedium::fibre) {
        out.what = "dirty connector", out.light = -amount / 2;
    } else if (kind == 2) {
        const double root = below(2) == 0 ? 0.5 : 1;
        out.what = root < 1 ? "wrong cable" : "wet cable";
        // The loss at the top of the band of what it carries.
        double top = 0;
        for (const auto& signal : signals(run.to, lane.to.value, {})) {
            if (!signal.user_band)
                top = std::max(top, static_cast<double>(venue_.feeds[signal.feed].lanes[signal.lane].band.high.hertz()) / 1e6);
        }
        if (top == 0) top = 2040;
        out.change = [=](double mhz) { return -(amount + 1) * std::pow(mhz / top, root); };
    } else {
        out.what = "connector", out.change = [=](double) { return -amount; };
    }
    return out;
}

TrueFault FaultSimulator::device_fault() {
    const auto d = below(venue_.devices.size());
    const auto& device = venue_.devices[d];
    const auto& choice = choices_[d];
    TrueFault out;
    out.part = {PartKind::device, device.name};
    const double amount = uniform(3, 10);
    const int lane = 1 + static_cast<int>(below(static_cast<std::size_t>(device.lanes)));
    const auto flat = [&](const std::string& what, double change) {
        out.what = what;
        out.change = [=](double) { return change; };
    };
    const auto& path = device.paths[below(device.paths.size())];
    switch (device.kind) {
        case DeviceKind::amplifier: {
            const auto kind = below(4);
            if (kind == 0 && choice.slope.db() >= 3) {
                const double s = choice.slope.db();
                const double low = device.data.band_low ? megahertz(*device.data.band_low) : 950;
                const double high = device.data.band_high ? megahertz(*device.data.band_high) : 2150;
                out.what = "no slope";
                out.change = [=](double mhz) { return s * std::clamp((high - mhz) / (high - low), 0.0, 1.0); };
                return out;
            }
            if (kind <= 1 && device.data.trim_low) {
                const double set = choice.trim[static_cast<std::size_t>(lane) - 1].db();
                const double to = std::round(uniform(device.data.trim_low->db(), device.data.trim_high.value_or(Gain::db(0)).db()) * 2) / 2;
                out.lane = lane;
                flat("wrong trim", to - set);
                return out;
            }
            if (kind == 2) return flat("low supply", -amount), out;
            out.lane = lane;
            return flat("weak lane", -amount), out;
        }
        case DeviceKind::optical_transmitter:
            out.lane = lane, out.light = -amount / 2, out.what = "weak laser";
            return out;
        case DeviceKind::optical_receiver:
            if (below(2) == 0) return flat("low supply", -amount), out;
            out.lane = lane;
            return flat("weak lane", -amount), out;
        case DeviceKind::multiswitch:
            if (below(2) == 0) return flat("low supply", -amount), out;
            out.port = path.to;
            return flat("weak output", -amount), out;
        case DeviceKind::pad:
            if (!choice.pads.empty() && !venue_.stock.pads.empty()) {
                const auto& set = choice.pads[static_cast<std::size_t>(lane) - 1];
                const auto& pad = venue_.stock.pads[below(venue_.stock.pads.size())];
                out.lane = lane;
                const double now = set ? set->loss.db() : 0;
                return flat("wrong pad", now - pad.loss.db()), out;
            }
            break;
        case DeviceKind::tap:
            if (device.paths.size() > 1 && below(2) == 0) {
                const auto& other = device.paths[below(device.paths.size())];
                const auto mine = path.gain, theirs = other.gain;
                out.port = path.to, out.what = "wrong tap port";
                out.change = [=](double mhz) { return at_frequency(theirs, mhz) - at_frequency(mine, mhz); };
                return out;
            }
            break;
        default: break;
    }
    out.lane = device.lanes > 1 ? lane : 0;
    if (device.paths.size() > 1 && below(2) == 0) out.port = device.kind == DeviceKind::combiner ? path.from : path.to;
    if (below(4) == 0) return out.dead = true, out.what = "dead", out;
    return flat("loss", -amount), out;
}

TrueFault FaultSimulator::feed_fault() {
    const auto& feed = venue_.feeds[below(venue_.feeds.size())];
    TrueFault out;
    out.part = {PartKind::feed, feed.name};
    const double amount = uniform(3, 10);
    if (feed.lanes.size() > 1 && below(2) == 0) out.lane = 1 + static_cast<int>(below(feed.lanes.size()));
    out.what = "weak feed";
    out.change = [=](double) { return -amount; };
    return out;
}

TrueFault FaultSimulator::crossing() {
    std::vector<const Run*> wide;
    for (const auto& run : venue_.runs)
        if (run.lanes.size() > 1) wide.push_back(&run);
    if (wide.empty()) return feed_fault();
    const auto& run = *wide[below(wide.size())];
    const auto i = below(run.lanes.size()), j = below(run.lanes.size());
    TrueFault out;
    out.part = {PartKind::run, run.name};
    out.what = "crossed";
    if (i != j) out.crossed = {{run.lanes[i].from.value, run.lanes[j].from.value},
                               {run.lanes[j].from.value, run.lanes[i].from.value}};
    return out;
}

TrueFault FaultSimulator::draw_any() {
    const auto kind = below(20);
    if (kind < 9) return run_fault();
    if (kind < 17) return device_fault();
    return kind < 18 ? feed_fault() : crossing();
}

TrueFault FaultSimulator::draw_fault() {
    for (;;) {
        auto fault = draw_any();
        if (shows(fault, points_)) return fault;
    }
}

}  // namespace mastline::test
