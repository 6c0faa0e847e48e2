// SPDX-License-Identifier: Apache-2.0
#include "planner/venue/check_signal.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "mastline/text/did_you_mean.hpp"
#include "mastline/venue/device_kinds.hpp"
#include "mastline/venue/section.hpp"
#include "planner/venue/device_ports.hpp"
#include "planner/venue/facts.hpp"

namespace mastline {

namespace {

// Reports the second of two things of one name.
class NameList {
public:
    NameList(std::string_view noun, Findings& findings) : noun_(noun), findings_(findings) {}
    void add(const std::string& name, const Place& place) {
        const auto [it, fresh] = seen_.try_emplace(name, place);
        if (!fresh)
            findings_.push_back({Severity::error, "file.name-twice", {},
                                 std::string(noun_) + " '" + name + "' stands twice", {},
                                 "the first is at " + to_text(it->second) + "; give this another name",
                                 place});
    }

private:
    std::string_view noun_;
    Findings& findings_;
    std::map<std::string, Place> seen_;
};

void check_settings(const Device& device, Findings& findings) {
    const auto wrong = [&](std::string_view key, std::size_t n) {
        findings.push_back({Severity::error, "device.setting-count", "device " + device.name,
                            std::string(key) + " has " + std::to_string(n) + " values for " +
                                std::to_string(device.lanes) + " lanes",
                            {}, "give one for all lanes or one per lane", device.place});
    };
    const auto& s = device.settings;
    const auto lanes = static_cast<std::size_t>(device.lanes);
    if (s.trim.size() > 1 && s.trim.size() != lanes) wrong("trim", s.trim.size());
    if (s.pads.size() > 1 && s.pads.size() != lanes) wrong("pads", s.pads.size());
    const auto out_of_place = [&](std::string_view key, DeviceKind kind) {
        findings.push_back({Severity::error, "device.setting-of-other-kind", "device " + device.name,
                            std::string(key) + " is set on a " + std::string(to_text(device.kind)),
                            {}, "only a device of kind " + std::string(to_text(kind)) + " has it",
                            device.place});
    };
    if ((!s.trim.empty() || s.slope) && device.kind != DeviceKind::amplifier)
        out_of_place("trim or slope", DeviceKind::amplifier);
    if (s.pads_given && device.kind != DeviceKind::pad) out_of_place("pads", DeviceKind::pad);
}

// A setting against the range and steps that the data give, where they give any.
void check_setting(const Device& device, std::string_view key, Gain value, Gain low, Gain high,
                   std::optional<Gain> step, Findings& findings) {
    const auto wrong = [&](std::string id, std::string what, std::string cure) {
        findings.push_back({Severity::error, std::move(id), "device " + device.name,
                            std::string(key) + " " + to_text(value) + std::move(what), {},
                            std::move(cure), device.place});
    };
    const Gain least = Gain::db(1e-9);
    if (value < low - least || value > high + least) {
        wrong("device.setting-out-of-range", " is outside " + to_text(low) + " to " + to_text(high),
              "set it within its range, or leave it out to have it found");
        return;
    }
    if (!step) return;
    const double steps = (value - low).db() / step->db();
    if (std::abs(steps - std::round(steps)) > 1e-6)
        wrong("device.setting-off-step",
              " is not on a step of " + number_text(step->db(), 2) + " dB from " + to_text(low),
              "set it on a step, or leave it out to have it found");
}

void check_amplifier_settings(const Device& device, Findings& findings) {
    const auto& data = device.data;
    const auto zero = Gain::db(0);
    if (data.trim_low || data.trim_high)
        for (const auto trim : device.settings.trim)
            check_setting(device, "trim", trim, data.trim_low.value_or(zero),
                          data.trim_high.value_or(zero), data.trim_step, findings);
    if (data.slope_high && device.settings.slope)
        check_setting(device, "slope", *device.settings.slope, zero, *data.slope_high,
                      data.slope_step, findings);
}

// A tap without values needs some in stock.
void check_open_tap(const Device& device, const Stock& stock, Findings& findings) {
    if (device.kind != DeviceKind::tap || !device.data.tap_loss.empty()) return;
    int count = 0;
    for (const auto& tap : stock.taps) count += tap.count.value_or(1);
    if (count > 0) return;
    findings.push_back({Severity::error, "device.no-tap-stocked", "device " + device.name,
                        "has no tap_loss, and no tap is in stock", {},
                        "add tap_loss, or [[stock.tap]] tables to choose from", device.place});
}

void check_ranges(const Device& device, Findings& findings) {
    const auto& d = device.data;
    const auto reversed = [&](std::string_view low, std::string_view high) {
        findings.push_back({Severity::error, "device.range-upside-down", "device " + device.name,
                            std::string(low) + " is above " + std::string(high), {},
                            "write the lower value as " + std::string(low), device.place});
    };
    const auto zero = Gain::db(0);
    if (d.trim_low.value_or(zero) > d.trim_high.value_or(zero)) reversed("trim_low", "trim_high");
    if (d.window_low && d.window_high && *d.window_low > *d.window_high)
        reversed("window_low", "window_high");
    if (d.optical_low && d.optical_high && *d.optical_low > *d.optical_high)
        reversed("optical_low", "optical_high");
    if (d.band_low && d.band_high && *d.band_low >= *d.band_high) reversed("band_low", "band_high");
}

}  // namespace

void check_names(const Venue& venue, Findings& findings) {
    NameList nodes("feed, device or card", findings);
    for (const auto& feed : venue.feeds) nodes.add(feed.name, feed.place);
    for (const auto& device : venue.devices) nodes.add(device.name, device.place);
    for (const auto& card : venue.cards) {  // two cards alike are the lineup room's to report
        const auto same = [&](const auto& node) { return node.name == card.name; };
        if (std::any_of(venue.feeds.begin(), venue.feeds.end(), same) ||
            std::any_of(venue.devices.begin(), venue.devices.end(), same))
            nodes.add(card.name, card.place);
    }
    NameList carriers("carrier", findings), models("model", findings), cables("cable", findings),
        runs("run", findings);
    for (const auto& carrier : venue.carriers) carriers.add(carrier.name, carrier.place);
    for (const auto& model : venue.models) models.add(model.name, model.place);
    for (const auto& cable : venue.cables) cables.add(cable.name, cable.place);
    for (const auto& run : venue.runs)
        if (!run.name.empty()) runs.add(run.name, run.place);
}

void resolve_devices(Venue& venue, Findings& findings) {
    std::map<std::string, const DeviceModel*> models;
    std::vector<std::string> known;
    for (const auto& model : venue.models) {
        models.try_emplace(model.name, &model);
        known.push_back(model.name);
    }
    const Place* reported = nullptr;  // copies share their place: report once
    for (auto& device : venue.devices) {
        Findings own;
        const auto model = models.find(device.model);
        if (model != models.end()) device.data = merged(device.data, model->second->data);
        else if (!device.model.empty())
            own.push_back({Severity::error, "device.unknown-model", "device " + device.name,
                           "unknown model '" + device.model + "'", {},
                           suggestion(device.model, known), device.place});
        if (own.empty()) {
            make_ports(device, own);
            if (own.empty()) check_passive(device, own);
            check_settings(device, own);
            check_ranges(device, own);
            if (own.empty()) check_amplifier_settings(device, own);
            check_open_tap(device, venue.stock, own);
        }
        if (reported != nullptr && *reported == device.place) continue;
        reported = &device.place;
        findings.insert(findings.end(), own.begin(), own.end());
    }
}

void check_signal(Venue& venue, Findings& findings) {
    check_names(venue, findings);
    resolve_devices(venue, findings);
    resolve_carriers(venue, findings);
    const PortIndex index(venue);
    resolve_runs(venue, index, findings);
    check_circles(venue, index, findings);
}

}  // namespace mastline
