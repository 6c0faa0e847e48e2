// SPDX-License-Identifier: Apache-2.0
#include "mastline/signal/choices.hpp"

#include <algorithm>

namespace mastline {

namespace {

template <class T>
T one_or_each(const std::vector<T>& values, std::size_t lane) {
    return values.size() == 1 ? values[0] : values[lane];
}

// A pad of the stock has the tolerance of the stock.
FittedPad fitted(Gain loss, const Venue& venue) {
    for (const auto& pad : venue.stock.pads)
        if (pad.loss == loss) return {loss, pad.tolerance};
    return {loss, Gain::db(0)};
}

}  // namespace

Choices given_choices(const Venue& venue) {
    Choices out(venue.devices.size());
    for (std::size_t d = 0; d < out.size(); ++d) {
        const auto& device = venue.devices[d];
        const auto& data = device.data;
        const auto& set = device.settings;
        const auto lanes = static_cast<std::size_t>(device.lanes);
        if (device.kind == DeviceKind::amplifier) {
            const auto zero = Gain::db(0);
            const auto rest =
                std::clamp(zero, data.trim_low.value_or(zero), data.trim_high.value_or(zero));
            out[d].trim.assign(lanes, rest);
            for (std::size_t i = 0; i < lanes && !set.trim.empty(); ++i)
                out[d].trim[i] = one_or_each(set.trim, i);
            out[d].slope = set.slope.value_or(zero);
        }
        if (device.kind == DeviceKind::pad && data.loss.empty()) {
            out[d].pads.resize(lanes);
            for (std::size_t i = 0; i < lanes && !set.pads.empty(); ++i)
                if (const auto pad = one_or_each(set.pads, i)) out[d].pads[i] = fitted(*pad, venue);
        }
    }
    return out;
}

}  // namespace mastline
