// SPDX-License-Identifier: Apache-2.0
#include "mastline/venue/cables.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "planner/venue/gain_points.hpp"
#include "planner/venue/signal_tables.hpp"

namespace mastline {

namespace {

constexpr std::array<std::pair<std::string_view, RunMedium>, 2> kCableMedia{
    {{"coax", RunMedium::coax}, {"fibre", RunMedium::fibre}}};

constexpr std::array<KeyDoc, 11> kCableKeys{{
    {"name", "text", true, "How runs refer to it; a built-in name replaces that class."},
    {"medium", "one of: coax, fibre", false, "Default coax."},
    {"loss", "list of gains", false, "Coax: two or more points such as \"6.4 dB at 950 MHz\", at 20 "
     "C. a sqrt(f) + b f is fitted to them; beyond the outer points it is extrapolated."},
    {"per", "length", false, "Length that loss and loop_resistance are given for; default 100 m."},
    {"tolerance_percent", "number", false, "Plus or minus in percent of its loss; default 0."},
    {"temperature_percent", "number", false, "Growth of loss per degree Celsius; default 0.2."},
    {"loop_resistance", "resistance", false, "Centre and shield, for the length of per."},
    {"loss_1310", "gain", false, "Fibre: loss of 1 km at 1310 nm; default 0.4 dB."},
    {"loss_1550", "gain", false, "Fibre: loss of 1 km at 1550 nm; default 0.275 dB."},
    {"connector_loss", "gain", false, "Fibre: each mated pair; default 0.5 dB."},
    {"splice_loss", "gain", false, "Fibre: each splice; default 0.15 dB."},
}};

constexpr double kHundredFeet = 30.48;  // metres

struct FootPoint {
    double mhz, db_per_100_ft;
};

Cable coax(std::string name, std::span<const FootPoint> points, double ohm_per_100_m) {
    Cable cable;
    cable.name = std::move(name);
    for (const auto& [mhz, db] : points)
        cable.points.push_back({frequency_of_megahertz(mhz), Gain::db(db * 100 / kHundredFeet)});
    cable.fit = fit_cable(cable.points);
    cable.loop_resistance = Resistance(ohm_per_100_m);
    return cable;
}

Cable single_mode() {
    Cable cable;
    cable.name = "single-mode";
    cable.medium = RunMedium::fibre;
    // 1310 nm, connection and splice: typical values taught by the Fiber Optic Association; 1550
    // nm: planning value of the appendix of ITU-T G.652.
    cable.loss_1310 = Gain::db(0.4);
    cable.loss_1550 = Gain::db(0.275);
    cable.connector_loss = Gain::db(0.5);
    cable.splice_loss = Gain::db(0.15);
    return cable;
}

// Series 6: published drop-cable values (950 and 2150 MHz and the television channels from a public
// cable-loss article, 270 and 1000 MHz from a cable data sheet).
constexpr FootPoint kRg6[] = {{57, 1.5},  {213, 3.0}, {270, 3.24}, {473, 4.5},
                              {695, 5.6}, {950, 6.4}, {1000, 6.54}, {2150, 9.7}};
// Series 59 and 11: foam drop cable, from memory. The resistances are from memory, for a centre of
// copper-clad steel.
constexpr FootPoint kRg59[] = {{55, 2.05},  {211, 3.80},  {450, 5.40},
                               {750, 6.97}, {1000, 8.12}, {2150, 12.0}};
constexpr FootPoint kRg11[] = {{55, 0.96},  {211, 1.90},  {450, 2.75},
                               {750, 3.65}, {1000, 4.35}, {2150, 6.64}};

double root_mhz(Frequency f) { return std::sqrt(megahertz(f)); }

CableFit fit_of(double a, double b, std::span<const CablePoint> points) {
    CableFit fit{Gain::db(a), Gain::db(b), {}, points[0].at, points[0].at};
    for (const auto& p : points) {
        const double error = std::abs(a * root_mhz(p.at) + b * megahertz(p.at) - p.loss.db());
        fit.worst_error = std::max(fit.worst_error, Gain::db(error));
        fit.low = std::min(fit.low, p.at);
        fit.high = std::max(fit.high, p.at);
    }
    return fit;
}

void read_coax(TableReader& r, Cable& cable) {
    const auto per = r.quantity_at_least<Length>("per", Length{0.01}).value_or(Length{100});
    const double scale = 100 / per.metres();
    const auto points = read_losses(r, "loss");
    const bool flat = !points.empty() && points[0].flat;
    for (const auto& point : points) {
        if (point.flat) {
            r.fault("cable.no-frequency", r.place_of("loss"), "a cable's loss needs its frequency",
                    "write \"6.4 dB at 950 MHz\"");
            continue;
        }
        cable.points.push_back({point.at, -point.gain * scale});
    }
    if (const auto ohm = r.quantity_at_least<Resistance>("loop_resistance", Resistance{}))
        cable.loop_resistance = *ohm * scale;
    if (cable.medium == RunMedium::coax && cable.points.size() < 2 && !flat)
        r.fault("cable.too-few-points", r.place_of("loss"),
                "coax cable '" + cable.name + "' has " + std::to_string(cable.points.size()) +
                    " points of loss",
                "give two or more, the lowest and the highest frequency among them");
    if (!cable.points.empty()) cable.fit = fit_cable(cable.points);
}

}  // namespace

CableFit fit_cable(std::span<const CablePoint> points) {
    double ff = 0, rf = 0, rr = 0, fa = 0, ra = 0;  // sums over points: f f, sqrt(f) f, ...
    for (const auto& p : points) {
        const double f = megahertz(p.at), r = root_mhz(p.at), loss = p.loss.db();
        ff += f * f, rf += r * f, rr += f, fa += f * loss, ra += r * loss;
    }
    const double d = rr * ff - rf * rf;
    double a = d > 0 ? (ra * ff - fa * rf) / d : ra / rr;
    double b = d > 0 ? (rr * fa - rf * ra) / d : 0;
    if (b < 0) a = ra / rr, b = 0;  // loss that grows more slowly than sqrt(f) is not physical
    if (a < 0) a = 0, b = fa / ff;
    return fit_of(a, b, points);
}

std::span<const Cable> built_in_cables() {
    static const std::array<Cable, 4> cables{coax("rg59", kRg59, 16), coax("rg6", kRg6, 12.5),
                                             coax("rg11", kRg11, 5), single_mode()};
    return cables;
}

Gain cable_loss(const Cable& cable, Frequency f, Length length, Temperature t) {
    const double per_100_m =
        cable.fit.root_term.db() * root_mhz(f) + cable.fit.linear_term.db() * megahertz(f);
    const double warmer = 1 + cable.per_kelvin_percent / 100 * (t.celsius() - 20);
    return Gain::db(per_100_m * length.metres() / 100 * warmer);
}

const TableDoc kCableDoc{"[[cable]]", "A cable or fibre of the venue's own.", kCableKeys};

void read_cable(const tree::Table& table, Venue& venue, Findings& findings) {
    TableReader r(table, kCableDoc, findings);
    Cable cable = single_mode();
    cable.place = r.place();
    cable.name = r.text("name").value_or("");
    cable.medium = r.choice<RunMedium>("medium", "medium", kCableMedia).value_or(RunMedium::coax);
    read_coax(r, cable);
    cable.tolerance_percent = r.number("tolerance_percent", 0, 100).value_or(0);
    cable.per_kelvin_percent = r.number("temperature_percent", 0, 5).value_or(0.2);
    const auto fibre = [&](std::string_view key, Gain& value) {
        if (const auto loss = r.quantity_at_least<Gain>(key, Gain::db(0))) value = *loss;
    };
    fibre("loss_1310", cable.loss_1310);
    fibre("loss_1550", cable.loss_1550);
    fibre("connector_loss", cable.connector_loss);
    fibre("splice_loss", cable.splice_loss);
    if (!cable.name.empty()) venue.cables.push_back(std::move(cable));
}

}  // namespace mastline
