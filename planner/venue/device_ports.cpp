// SPDX-License-Identifier: Apache-2.0
#include "planner/venue/device_ports.hpp"

#include <algorithm>
#include <cmath>

#include "mastline/text/did_you_mean.hpp"
#include "mastline/venue/device_kinds.hpp"
#include "mastline/venue/gain_at.hpp"

namespace mastline {

namespace {

void fault(Findings& findings, const Device& device, std::string id, std::string what,
           std::string cure) {
    findings.push_back({Severity::error, std::move(id), "device " + device.name, std::move(what),
                        {}, std::move(cure), device.place});
}

bool passes_dc(const Device& device) {
    switch (device.kind) {
        case DeviceKind::surge_arrestor:
        case DeviceKind::tap:
        case DeviceKind::splitter:
        case DeviceKind::combiner:
        case DeviceKind::pad:
        case DeviceKind::equaliser:
        case DeviceKind::outlet_tap: return device.data.passes_dc.value_or(true);
        default: return device.data.passes_dc.value_or(false);
    }
}

std::optional<Window> input_window(const DeviceData& data) {
    if (!data.window_low && !data.window_high) return std::nullopt;
    return Window{data.window_low.value_or(Level::dbm(-200)),
                  data.window_high.value_or(Level::dbm(200))};
}

// Puts a device's ports and paths together.
class PortMaker {
public:
    explicit PortMaker(Device& device)
        : device_(device), light_(device.data.optical.value_or(false)) {}

    void input(const std::string& name) { add(name, PortDirection::in).window = input_window(device_.data); }
    Port& output(const std::string& name) { return add(name, PortDirection::out); }
    void path(const std::string& from, const std::string& to, const std::vector<GainPoint>& gain) {
        device_.paths.push_back(
            {from, to, gain, device_.data.tolerance.value_or(Gain::db(0)), light_});
    }
    void light(bool in, bool out) {
        device_.ports.front().optical = in;
        device_.ports.back().optical = out;
    }

private:
    Port& add(const std::string& name, PortDirection direction) {
        Port port;
        port.name = name;
        port.direction = direction;
        port.lanes = device_.lanes;
        port.optical = light_;
        port.passes_dc = passes_dc(device_) && !light_;
        device_.ports.push_back(std::move(port));
        return device_.ports.back();
    }

    Device& device_;
    bool light_;
};

// The data's gain or loss; a finding when it has neither.
std::vector<GainPoint> straight_gain(const Device& device, Findings& findings) {
    const auto& data = device.data;
    if (!data.gain.empty()) return data.gain;
    if (!data.loss.empty()) return data.loss;
    const bool gains = device.kind == DeviceKind::amplifier ||
                       device.kind == DeviceKind::optical_transmitter ||
                       device.kind == DeviceKind::optical_receiver;
    const std::string key = gains ? "gain" : "loss";
    const bool may_be_absent = device.kind == DeviceKind::optical_transmitter ||
                               data.levelling == Levelling::level_held;
    if (!may_be_absent)
        fault(findings, device, "device.no-" + key,
              std::string(to_text(device.kind)) + " has no " + key, "add " + key + " = \"... dB\"");
    return {{Frequency{}, Gain::db(0), true}};
}

int ways(const Device& device, int least, Findings& findings) {
    const auto& data = device.data;
    if (!data.ways && least > 1)
        fault(findings, device, "device.no-ways",
              std::string(to_text(device.kind)) + " does not say how many ways it has",
              "add ways = 2 to 16");
    else if (data.ways.value_or(1) < least)
        fault(findings, device, "device.too-few-ways",
              std::string(to_text(device.kind)) + " has " + std::to_string(*data.ways) + " way",
              "it must have 2 to 16");
    return std::max(data.ways.value_or(least), least);
}

void make_straight(Device& device, Findings& findings) {
    PortMaker maker(device);
    maker.input("in");
    maker.output("out");
    if (device.kind == DeviceKind::optical_transmitter) {
        maker.light(false, true);
        if (!device.data.launch_power)
            fault(findings, device, "device.no-launch-power",
                  "optical-transmitter has no launch_power", "add launch_power = \"... dBm\"");
    }
    if (device.kind == DeviceKind::optical_receiver) maker.light(true, false);
    if (device.data.levelling == Levelling::level_held &&
        !(device.data.held_level && device.data.held_at))
        fault(findings, device, "device.no-held-level",
              "level-held receiver lacks held_level or held_at", "add both");
    const bool pad_place = device.kind == DeviceKind::pad && device.data.loss.empty();
    maker.path("in", "out",
               pad_place ? std::vector{GainPoint{Frequency{}, Gain::db(0), true}}
                         : straight_gain(device, findings));
}

void make_splitter(Device& device, Findings& findings) {
    PortMaker maker(device);
    const auto gain = straight_gain(device, findings);
    const int n = ways(device, 2, findings);
    const bool splits = device.kind == DeviceKind::splitter;
    if (splits) maker.input("in");
    for (int i = 1; i <= n; ++i) {
        const auto name = (splits ? "out" : "in") + std::to_string(i);
        if (splits) maker.output(name), maker.path("in", name, gain);
        else maker.input(name), maker.path(name, "out", gain);
    }
    if (!splits) maker.output("out");
}

void make_tap(Device& device, Findings& findings) {
    PortMaker maker(device);
    const auto& data = device.data;
    const bool open = device.kind == DeviceKind::tap && data.tap_loss.empty();
    const int n = ways(device, 1, findings);
    if (device.kind == DeviceKind::outlet_tap && data.tap_loss.empty())
        fault(findings, device, "device.no-loss", "outlet-tap has no tap_loss",
              "add tap_loss = \"... dB\"");
    maker.input("in");
    if (open || !data.through_loss.empty()) {
        maker.output("out");
        maker.path("in", "out", open ? std::vector<GainPoint>{} : data.through_loss);
    }
    for (int i = 1; i <= n; ++i) {
        const auto name = n == 1 ? std::string("tap") : "tap" + std::to_string(i);
        maker.output(name);
        maker.path("in", name, open ? std::vector<GainPoint>{} : data.tap_loss);
    }
}

constexpr std::size_t kMostUserBands = 32;  // EN 50607
constexpr Frequency kUserBandWidth{46'000'000};  // common practice

void check_spacing(const Device& device, Findings& findings) {
    auto bands = device.data.user_bands;
    std::sort(bands.begin(), bands.end());
    const auto width = device.data.user_band_width.value_or(kUserBandWidth);
    for (std::size_t i = 1; i < bands.size(); ++i)
        if (bands[i] - bands[i - 1] < width)
            fault(findings, device, "device.user-bands-too-close",
                  "user bands " + to_text(bands[i - 1]) + " and " + to_text(bands[i]) +
                      " are less than " + to_text(width) + " apart",
                  "correct a centre, or user_band_width");
}

void make_multiswitch(Device& device, Findings& findings) {
    PortMaker maker(device);
    const auto& data = device.data;
    auto gain = data.gain.empty() ? data.loss : data.gain;
    if (gain.empty() && !data.output_level)
        fault(findings, device, "device.no-gain", "multiswitch has neither gain nor output_level",
              "add gain or loss, or output_level for single-cable outputs");
    if (gain.empty()) gain = {{Frequency{}, Gain::db(0), true}};
    maker.input("in");
    for (int i = 1; i <= data.outputs.value_or(0); ++i) {
        auto& port = maker.output("out" + std::to_string(i));
        port.lanes = 1;
        port.carries_all = true;
        maker.path("in", port.name, gain);
    }
    for (int i = 1; i <= data.wideband_outputs.value_or(0); ++i) {
        const auto name = maker.output("wide" + std::to_string(i)).name;
        maker.path("in", name, gain);
    }
    if (data.outputs.value_or(0) > 0 && data.user_bands.empty())
        fault(findings, device, "device.no-user-bands",
              "multiswitch has single-cable outputs and no user_bands",
              "add user_bands = [\"1210 MHz\", ...]");
    if (data.user_bands.size() > kMostUserBands)
        fault(findings, device, "device.too-many-user-bands",
              std::to_string(data.user_bands.size()) + " user bands on one output",
              "EN 50607 knows 32 at most, EN 50494 8");
    check_spacing(device, findings);
    if (data.outputs.value_or(0) + data.wideband_outputs.value_or(0) == 0)
        fault(findings, device, "device.no-outputs", "multiswitch has no outputs",
              "add outputs or wideband_outputs");
}

void make_other(Device& device, Findings& findings) {
    PortMaker maker(device);
    for (const auto& port : device.data.ports)
        if (port.is_output) maker.output(port.name);
        else maker.input(port.name);
    if (device.data.ports.empty())
        fault(findings, device, "device.no-ports", "other has no ports",
              "add [[device.port]] or [[model.port]] tables");
}

void override_ports(Device& device, Findings& findings) {
    for (const auto& data : device.data.ports) {
        const auto port = std::find_if(device.ports.begin(), device.ports.end(),
                                       [&](const Port& p) { return p.name == data.name; });
        if (port == device.ports.end()) {
            std::vector<std::string> known;
            for (const auto& p : device.ports) known.push_back(p.name);
            findings.push_back({Severity::error, "device.unknown-port", "device " + device.name,
                                "no port '" + data.name + "'", {}, suggestion(data.name, known),
                                data.place});
            continue;
        }
        if (data.lanes) port->lanes = *data.lanes;
        if (data.passes_dc) port->passes_dc = *data.passes_dc;
        if (data.window_low || data.window_high)
            port->window = Window{data.window_low.value_or(Level::dbm(-200)),
                                  data.window_high.value_or(Level::dbm(200))};
    }
}

const Port* port_named(const Device& device, const std::string& name) {
    for (const auto& port : device.ports)
        if (port.name == name) return &port;
    return nullptr;
}

void add_paths(Device& device, Findings& findings) {
    for (const auto& path : device.data.paths) {
        const auto *from = port_named(device, path.from), *to = port_named(device, path.to);
        if (from == nullptr || to == nullptr || from->direction != PortDirection::in ||
            to->direction != PortDirection::out) {
            findings.push_back({Severity::error, "device.bad-path", "device " + device.name,
                                "no path from '" + path.from + "' to '" + path.to + "'", {},
                                "from must be one of its inputs, to one of its outputs", path.place});
            continue;
        }
        auto gain = path.gain;
        if (gain.empty()) gain = {{Frequency{}, Gain::db(0), true}};
        device.paths.push_back({path.from, path.to, std::move(gain), path.tolerance,
                                device.data.optical.value_or(false)});
    }
}

void mark_test_points(Device& device, Findings& findings) {
    std::vector<std::string> known;
    for (const auto& port : device.ports) known.push_back(port.name);
    for (const auto& name : device.data.test_points) {
        const auto port = std::find(known.begin(), known.end(), name);
        if (port != known.end())
            device.ports[static_cast<std::size_t>(port - known.begin())].test_point = true;
        else
            fault(findings, device, "device.unknown-port", "no port '" + name + "' for a test point",
                  suggestion(name, known));
    }
}

bool passive(DeviceKind kind) {
    switch (kind) {
        case DeviceKind::optical_transmitter:
        case DeviceKind::optical_receiver:
        case DeviceKind::amplifier:
        case DeviceKind::multiswitch:
        case DeviceKind::other: return false;
        default: return true;
    }
}

// Power out of all outputs over power into one input, at a frequency.
double power_share(const Device& device, const std::string& input, Frequency f) {
    double share = 0;
    for (const auto& path : device.paths)
        if (path.from == input) share += std::pow(10, gain_at(path.gain, f).db() / 10);
    return share;
}

}  // namespace

void make_ports(Device& device, Findings& findings) {
    device.ports.clear();
    device.paths.clear();
    device.lanes = device.data.lanes.value_or(1);
    if (!device.data.kind) {
        if (!device.data.kind_misread)
            fault(findings, device, "device.no-kind", "nobody says what kind it is",
                  "add kind, or model = the name of a [[model]] that has one");
        return;
    }
    device.kind = *device.data.kind;
    switch (device.kind) {
        case DeviceKind::splitter:
        case DeviceKind::combiner: make_splitter(device, findings); break;
        case DeviceKind::tap:
        case DeviceKind::outlet_tap: make_tap(device, findings); break;
        case DeviceKind::multiswitch: make_multiswitch(device, findings); break;
        case DeviceKind::other: make_other(device, findings); break;
        default: make_straight(device, findings);
    }
    override_ports(device, findings);
    add_paths(device, findings);
    mark_test_points(device, findings);
}

void check_passive(const Device& device, Findings& findings) {
    if (!passive(device.kind)) return;
    for (const auto& port : device.ports) {
        double worst = 0;
        for (const auto& path : device.paths)
            for (const auto& point : path.gain)
                worst = std::max(worst, power_share(device, port.name, point.at));
        if (worst <= 1.0001) continue;
        fault(findings, device, "device.passive-gain",
              "passive " + std::string(to_text(device.kind)) + " would give out " +
                  number_text(worst, 2) + " times the power it takes in at " + port.name,
              "its losses are too small: n ways alike lose at least 10 log10(n) dB each");
        return;
    }
}

}  // namespace mastline
