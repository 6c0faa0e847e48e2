// SPDX-License-Identifier: Apache-2.0
#include "planner/signal/open_settings.hpp"

#include <algorithm>

namespace mastline {

namespace {

bool is_pad_place(const Device& device) {
    return device.kind == DeviceKind::pad && device.data.loss.empty() &&
           !device.data.optical.value_or(false);
}

bool is_open_tap(const Device& device) {
    return device.kind == DeviceKind::tap && device.data.tap_loss.empty();
}

}  // namespace

OpenSettings::OpenSettings(const Venue& venue) : base_(given_choices(venue)) {
    count_stock(venue);
    for (std::size_t d = 0; d < venue.devices.size(); ++d) {
        const auto& device = venue.devices[d];
        if (device.kind == DeviceKind::amplifier) open_amplifier(d, device);
        if (is_pad_place(device) && !device.settings.pads_given) open_pads(d, device, venue.stock);
        if (is_open_tap(device)) open_tap(d, venue.stock);
    }
}

// Given pads come out of the same store room.
void OpenSettings::count_stock(const Venue& venue) {
    const auto& pads = venue.stock.pads;
    for (const auto& pad : pads) pads_left_.push_back(pad.count);
    for (const auto& choice : base_)
        for (const auto& fitted : choice.pads) {
            if (!fitted) continue;
            const auto it = std::find_if(pads.begin(), pads.end(), [&](const StockedPad& pad) {
                return pad.loss == fitted->loss;
            });
            if (it == pads.end()) continue;
            auto& left = pads_left_[static_cast<std::size_t>(it - pads.begin())];
            left = std::max(0, left - 1);
        }
}

void OpenSettings::open_amplifier(std::size_t d, const Device& device) {
    const auto& data = device.data;
    const Gain none;
    const double low = data.trim_low.value_or(none).db(), high = data.trim_high.value_or(none).db();
    if (device.settings.trim.empty() && low < high)
        for (std::size_t lane = 0; lane < static_cast<std::size_t>(device.lanes); ++lane) {
            unknowns_.push_back({Unknown::Kind::trim, d, lane, 0, low, high,
                                 data.trim_step.value_or(none).db()});
            base_[d].trim[lane] = none;
        }
    if (!device.settings.slope && data.slope_high.value_or(none) > none)
        unknowns_.push_back({Unknown::Kind::slope, d, 0, 0, 0, data.slope_high->db(),
                             data.slope_step.value_or(none).db()});
}

void OpenSettings::open_pads(std::size_t d, const Device& device, const Stock& stock) {
    for (std::size_t lane = 0; lane < static_cast<std::size_t>(device.lanes); ++lane)
        for (std::size_t s = 0; s < stock.pads.size(); ++s)
            if (pads_left_[s] > 0)
                unknowns_.push_back({Unknown::Kind::pad, d, lane, s, 0, 1, 1});
}

void OpenSettings::open_tap(std::size_t d, const Stock& stock) {
    for (std::size_t s = 0; s < stock.taps.size(); ++s)
        unknowns_.push_back({Unknown::Kind::tap, d, 0, s, 0, 1, 1});
}

Choices OpenSettings::choices(const Venue& venue, const std::vector<double>& values) const {
    Choices out = base_;
    for (std::size_t u = 0; u < unknowns_.size(); ++u) {
        const auto& unknown = unknowns_[u];
        switch (unknown.kind) {
            case Unknown::Kind::trim:
                out[unknown.part].trim[unknown.lane] = Gain::db(values[u]);
                break;
            case Unknown::Kind::slope: out[unknown.part].slope = Gain::db(values[u]); break;
            case Unknown::Kind::pad:
                if (values[u] > 0.5) {
                    const auto& pad = venue.stock.pads[unknown.stock];
                    out[unknown.part].pads[unknown.lane] = FittedPad{pad.loss, pad.tolerance};
                }
                break;
            case Unknown::Kind::tap:
                if (values[u] > 0.5) out[unknown.part].tap = unknown.stock;
                break;
            default: break;
        }
    }
    return out;
}

}  // namespace mastline
