// SPDX-License-Identifier: Apache-2.0
#include "planner/intake/adjustable.hpp"

#include <map>

#include "mastline/venue/toml_file.hpp"

namespace mastline {

namespace {

// The name that each [[device]] has in the files, by its place.
std::map<Place, std::string> written_names(const FileTexts& texts) {
    std::map<Place, std::string> out;
    Findings ignored;  // the venue was read from them
    for (const auto& [file, text] : texts) {
        const auto root = read_toml(text, file, ignored);
        const auto* entry = root ? tree::find(*root, "device") : nullptr;
        const auto* list = entry == nullptr ? nullptr : std::get_if<tree::Array>(&entry->value.held);
        if (list == nullptr) continue;
        for (const auto& item : *list) {
            const auto* table = std::get_if<tree::Table>(&item.held);
            const auto* name = table == nullptr ? nullptr : tree::find(*table, "name");
            const auto* word = name == nullptr ? nullptr : std::get_if<std::string>(&name->value.held);
            if (word != nullptr) out[table->place] = *word;
        }
    }
    return out;
}

std::optional<Gain> fixed_loss(const Device& device) {
    const auto& loss = device.data.loss;
    if (device.kind != DeviceKind::pad || loss.size() != 1 || !loss.front().flat) return std::nullopt;
    return -loss.front().gain;
}

Adjustable adjustable(const Device& device, const DeviceChoice& choice) {
    const auto& data = device.data;
    Adjustable out;
    out.lanes = device.lanes;
    if (data.trim_low || data.trim_high)
        out.trim = AdjustRange{data.trim_low.value_or(Gain::db(0)), data.trim_high.value_or(Gain::db(0)), data.trim_step};
    if (data.slope_high) out.slope = AdjustRange{Gain::db(0), *data.slope_high, data.slope_step};
    out.trim_now = choice.trim;
    out.trim_given = !device.settings.trim.empty();
    out.slope_now = choice.slope;
    out.slope_given = device.settings.slope.has_value();
    out.pad_place = device.kind == DeviceKind::pad && data.loss.empty();
    for (const auto& pad : choice.pads) out.pads_now.push_back(pad ? std::optional(pad->loss) : std::nullopt);
    out.pads_given = device.settings.pads_given;
    out.loss_now = fixed_loss(device);
    return out;
}

}  // namespace

std::vector<Adjustable> adjustable_devices(const FileTexts& texts, const Venue& venue, const Plan& plan) {
    std::vector<Adjustable> out;
    if (plan.signal.choices.size() != venue.devices.size()) return out;
    const auto names = written_names(texts);
    const Place* last = nullptr;  // copies stand next to each other
    for (std::size_t d = 0; d < venue.devices.size(); ++d) {
        const Device& device = venue.devices[d];
        if (last != nullptr && *last == device.place) {
            out.back().copies.push_back(device.name);
            continue;
        }
        last = nullptr;
        const auto name = names.find(device.place);
        auto made = adjustable(device, plan.signal.choices[d]);
        if (name == names.end() || !(made.trim || made.slope || made.pad_place || made.loss_now)) continue;
        made.device = name->second;
        made.copies = {device.name};
        out.push_back(std::move(made));
        last = &device.place;
    }
    return out;
}

}  // namespace mastline
