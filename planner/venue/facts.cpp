// SPDX-License-Identifier: Apache-2.0
#include "planner/venue/facts.hpp"

#include <tuple>

#include "mastline/venue/device_kinds.hpp"
#include "planner/venue/gain_points.hpp"

namespace mastline {

namespace {

constexpr std::array<std::pair<std::string_view, Derating>, 4> kDeratings{
    {{"cautious", Derating::cautious},
     {"ctb", Derating::ctb},
     {"power", Derating::power},
     {"none", Derating::none}}};
constexpr std::array<std::pair<std::string_view, Wavelength>, 2> kWavelengths{
    {{"1310", Wavelength::nm1310}, {"1550", Wavelength::nm1550}}};
constexpr std::array<std::pair<std::string_view, Levelling>, 3> kLevellings{
    {{"none", Levelling::none},
     {"gain-held", Levelling::gain_held},
     {"level-held", Levelling::level_held}}};
constexpr std::array<std::pair<std::string_view, bool>, 2> kDirections{
    {{"in", false}, {"out", true}}};
constexpr Gain kNone = Gain::db(0);

std::optional<int> count(TableReader& reader, std::string_view key, int least, int most) {
    const auto n = reader.integer(key, least, most);
    return n ? std::optional(static_cast<int>(*n)) : std::nullopt;
}

std::vector<std::string> words(TableReader& reader, std::string_view key) {
    std::vector<std::string> out;
    for (auto& [word, place] : reader.texts(key)) out.push_back(std::move(word));
    return out;
}

std::vector<PortData> read_ports(TableReader& reader, Findings& findings) {
    std::vector<PortData> out;
    for (const auto* table : reader.tables("port")) {
        TableReader r(*table, kPortDoc, findings);
        PortData port;
        port.place = r.place();
        port.name = r.text("name").value_or("");
        port.is_output = r.choice<bool>("direction", "direction", kDirections).value_or(false);
        port.lanes = count(r, "lanes", 1, 64);
        port.window_low = r.quantity<Level>("window_low");
        port.window_high = r.quantity<Level>("window_high");
        port.passes_dc = r.boolean("passes_dc");
        if (!port.name.empty()) out.push_back(std::move(port));
    }
    return out;
}

std::vector<PathData> read_paths(TableReader& reader, Gain tolerance, Findings& findings) {
    std::vector<PathData> out;
    for (const auto* table : reader.tables("path")) {
        TableReader r(*table, kPathDoc, findings);
        PathData path;
        path.place = r.place();
        path.from = r.text("from").value_or("");
        path.to = r.text("to").value_or("");
        path.gain = read_gains(r, "gain");
        auto loss = read_losses(r, "loss");
        if (path.gain.empty()) path.gain = std::move(loss);
        path.tolerance = r.quantity_at_least<Gain>("tolerance", kNone).value_or(tolerance);
        out.push_back(std::move(path));
    }
    return out;
}

void read_amplifier(TableReader& reader, DeviceData& data) {
    data.noise_figure = reader.quantity_at_least<Gain>("noise_figure", kNone);
    data.band_low = reader.quantity_at_least<Frequency>("band_low", Frequency{1});
    data.band_high = reader.quantity_at_least<Frequency>("band_high", Frequency{1});
    data.trim_low = reader.quantity<Gain>("trim_low");
    data.trim_high = reader.quantity<Gain>("trim_high");
    data.trim_step = reader.quantity_at_least<Gain>("trim_step", Gain::db(0.01));
    data.slope_high = reader.quantity_at_least<Gain>("slope_high", kNone);
    data.slope_step = reader.quantity_at_least<Gain>("slope_step", Gain::db(0.01));
    data.maximum_output = reader.quantity<Level>("maximum_output");
    data.derating = reader.choice<Derating>("derating", "derating", kDeratings);
}

void read_optics(TableReader& reader, DeviceData& data) {
    data.optical = reader.boolean("optical");
    data.launch_power = reader.quantity<Level>("launch_power");
    data.wavelength = reader.choice<Wavelength>("wavelength", "wavelength", kWavelengths);
    data.optical_low = reader.quantity<Level>("optical_low");
    data.optical_high = reader.quantity<Level>("optical_high");
    data.optical_reference = reader.quantity<Level>("optical_reference");
    data.levelling = reader.choice<Levelling>("levelling", "levelling", kLevellings);
    data.held_level = reader.quantity<Level>("held_level");
    data.held_at = reader.quantity_at_least<Frequency>("held_at", Frequency{1});
}

void read_power(TableReader& reader, DeviceData& data) {
    data.passes_dc = reader.boolean("passes_dc");
    data.supply_voltage = reader.quantity_at_least<Voltage>("supply_voltage", Voltage{});
    data.supply_limit = reader.quantity_at_least<Current>("supply_limit", Current{});
    data.power_to = words(reader, "power_to");
    data.supply_minimum = reader.quantity_at_least<Voltage>("supply_minimum", Voltage{});
    data.supply_current = reader.quantity_at_least<Current>("supply_current", Current{});
    data.supply_power = reader.quantity_at_least<Power>("supply_power", Power{});
    data.powered_from = reader.text("powered_from");
    data.power_lane = count(reader, "power_lane", 1, 64);
}

void read_multiswitch(TableReader& reader, DeviceData& data) {
    data.outputs = count(reader, "outputs", 0, 64);
    data.wideband_outputs = count(reader, "wideband_outputs", 0, 64);
    data.user_bands = reader.quantities<Frequency>("user_bands");
    data.user_band_width = reader.quantity_at_least<Frequency>("user_band_width", Frequency{1});
    data.output_level = reader.quantity<Level>("output_level");
}

constexpr auto kMembers = std::tuple{
    &DeviceData::kind, &DeviceData::lanes, &DeviceData::ways, &DeviceData::loss, &DeviceData::gain,
    &DeviceData::tap_loss, &DeviceData::through_loss, &DeviceData::tolerance,
    &DeviceData::window_low, &DeviceData::window_high, &DeviceData::noise_figure,
    &DeviceData::band_low, &DeviceData::band_high, &DeviceData::trim_low, &DeviceData::trim_high,
    &DeviceData::trim_step, &DeviceData::slope_high, &DeviceData::slope_step,
    &DeviceData::maximum_output, &DeviceData::derating, &DeviceData::optical,
    &DeviceData::launch_power, &DeviceData::wavelength, &DeviceData::optical_low,
    &DeviceData::optical_high, &DeviceData::optical_reference, &DeviceData::levelling,
    &DeviceData::held_level, &DeviceData::held_at, &DeviceData::outputs,
    &DeviceData::wideband_outputs, &DeviceData::user_bands, &DeviceData::user_band_width,
    &DeviceData::output_level, &DeviceData::passes_dc, &DeviceData::supply_voltage,
    &DeviceData::supply_limit, &DeviceData::power_to, &DeviceData::supply_minimum,
    &DeviceData::supply_current, &DeviceData::supply_power, &DeviceData::powered_from,
    &DeviceData::power_lane, &DeviceData::test_points, &DeviceData::ports, &DeviceData::paths};

template <class T>
bool absent(const std::optional<T>& v) {
    return !v;
}
template <class T>
bool absent(const std::vector<T>& v) {
    return v.empty();
}

}  // namespace

DeviceData read_facts(TableReader& reader, Findings& findings) {
    DeviceData data;
    data.kind = reader.choice<DeviceKind>("kind", "device kind", kDeviceKinds);
    data.kind_misread = reader.has("kind") && !data.kind;
    data.lanes = count(reader, "lanes", 1, 64);
    data.ways = count(reader, "ways", 1, 16);
    data.loss = read_losses(reader, "loss");
    data.gain = read_gains(reader, "gain");
    data.tap_loss = read_losses(reader, "tap_loss");
    data.through_loss = read_losses(reader, "through_loss");
    data.tolerance = reader.quantity_at_least<Gain>("tolerance", kNone);
    data.window_low = reader.quantity<Level>("window_low");
    data.window_high = reader.quantity<Level>("window_high");
    read_amplifier(reader, data);
    read_optics(reader, data);
    read_multiswitch(reader, data);
    read_power(reader, data);
    data.test_points = words(reader, "test_points");
    data.ports = read_ports(reader, findings);
    data.paths = read_paths(reader, data.tolerance.value_or(kNone), findings);
    return data;
}

DeviceData merged(const DeviceData& over, const DeviceData& base) {
    DeviceData out = over;
    const auto fill = [&](auto member) {
        if (absent(out.*member)) out.*member = base.*member;
    };
    std::apply([&](auto... member) { (fill(member), ...); }, kMembers);
    out.kind_misread = over.kind_misread || base.kind_misread;
    return out;
}

}  // namespace mastline
