// SPDX-License-Identifier: Apache-2.0
#include "planner/readings/suspects.hpp"

#include <algorithm>
#include <map>
#include <set>

namespace mastline {

namespace {

// Amounts in dB: more is taken for a dead lane.
constexpr double kMost = 22, kMostLight = 11;

bool is_active(const Device& device) {
    switch (device.kind) {
        case DeviceKind::amplifier:
        case DeviceKind::optical_transmitter:
        case DeviceKind::optical_receiver:
        case DeviceKind::multiswitch: return true;
        default: return device.data.supply_current || device.data.supply_power;
    }
}

class Collector {
public:
    Collector(const ChainPoints& chain, const std::vector<PowerSupply>& power, Gain least)
        : chain_(chain), venue_(chain.chain().venue()), power_(power), least_(least.db()),
          least_light_(least.db() / 2) {
        for (const auto& device : venue_.devices)
            holds_ = holds_ || device.data.levelling == Levelling::level_held;
    }

    Suspicions collect() {
        for (std::size_t f = 0; f < venue_.feeds.size(); ++f) add_feed(f);
        for (std::size_t r = 0; r < venue_.runs.size(); ++r) add_run(r);
        for (std::size_t d = 0; d < venue_.devices.size(); ++d) add_device(d);
        for (const auto& supply : power_) add_supply(supply);
        add_crossings();
        return std::move(out_);
    }

private:
    // Number of the new suspect; none when no signal passes any of its atoms.
    std::optional<std::size_t> add(ChainPart part, std::string port, std::vector<LaneNumber> lanes,
                                   const std::vector<Atom>& atoms, double weight) {
        Suspect suspect{std::move(part), std::move(port), std::move(lanes), {}, weight};
        for (const auto& atom : atoms)
            if (const auto number = chain_.atom(atom)) suspect.atoms.push_back(*number);
        if (suspect.atoms.empty()) return std::nullopt;
        out_.suspects.push_back(std::move(suspect));
        return out_.suspects.size() - 1;
    }

    void may(std::size_t suspect, PartFaultKind kind, Shape shape, double least, double most, double weight,
             bool light = false) {
        Possibility p;
        p.suspect = suspect, p.kind = kind, p.shape = shape;
        p.least = least, p.most = most, p.weight = weight, p.light = light;
        out_.possibilities.push_back(std::move(p));
    }

    // Loss, in the shapes that come with wear, water and the wrong cable; `other_way` weighs the
    // same with the sign turned.
    void may_lose(std::size_t s, PartFaultKind flat, PartFaultKind dead, double other_way) {
        may(s, flat, Shape::flat, -kMost, -least_, 1);
        for (const auto shape : {Shape::rising, Shape::linear, Shape::root})
            may(s, PartFaultKind::tilt, shape, -kMost, -least_, 0.2);
        may_die(s, dead, false);
        if (other_way <= 0) return;
        may(s, PartFaultKind::excess_level, Shape::flat, least_, kMost, other_way);
        for (const auto shape : {Shape::rising, Shape::linear, Shape::root})
            may(s, PartFaultKind::tilt, shape, least_, kMost, 0.2 * other_way);
    }

    void may_die(std::size_t s, PartFaultKind kind, bool light) {
        may(s, kind, Shape::flat, 0, 0, 0.3, light);
        if (!holds_) return;
        may(s, kind, Shape::flat, 0, 0, 0.2, light);
        out_.possibilities.back().revives = true;
    }

    void add_feed(std::size_t f) {
        const auto& feed = venue_.feeds[f];
        const ChainPart part{PartKind::feed, feed.name};
        std::vector<Atom> all;
        for (const auto& lane : feed.lanes) {
            const Atom atom{AtomKind::feed, f, 0, lane.lane.value};
            all.push_back(atom);
            if (feed.lanes.size() < 2) continue;
            if (const auto s = add(part, "", {lane.lane}, {atom}, 0.5))
                may_lose(*s, PartFaultKind::flat_loss, PartFaultKind::dead, 0.2);
        }
        const bool powered = feed.supply_current.has_value();
        if (const auto s = add(part, "", {}, all, 0.7))
            may_lose(*s, powered ? PartFaultKind::low_supply : PartFaultKind::flat_loss,
                     powered ? PartFaultKind::no_supply : PartFaultKind::dead, 0.2);
    }

    void add_run(std::size_t r) {
        const auto& run = venue_.runs[r];
        const ChainPart part{PartKind::run, run.name};
        std::vector<Atom> all;
        for (const auto& lane : run.lanes) {
            const Atom atom{AtomKind::run, r, 0, lane.from.value};
            all.push_back(atom);
            if (run.lanes.size() < 2) continue;
            if (const auto s = add(part, "", {lane.from}, {atom}, 1)) may_lose_in(*s, run);
        }
        if (const auto s = add(part, "", {}, all, run.lanes.size() < 2 ? 1 : 0.3)) may_lose_in(*s, run);
    }

    void may_lose_in(std::size_t s, const Run& run) {
        if (run.medium == RunMedium::coax)
            return may_lose(s, PartFaultKind::flat_loss, PartFaultKind::dead, 0.1);
        may(s, PartFaultKind::flat_loss, Shape::flat, -kMostLight, -least_light_, 1, true);
        may_die(s, PartFaultKind::dead, true);
    }

    std::vector<Atom> atoms_of(std::size_t d, const std::vector<std::size_t>& paths, int lane = 0) const {
        std::vector<Atom> out;
        for (const auto path : paths)
            for (int c = 1; c <= venue_.devices[d].lanes; ++c)
                if (lane == 0 || lane == c) out.push_back({AtomKind::path, d, path, c});
        return out;
    }

    // Each port's lanes, each port, each lane and the whole, where those differ.
    void add_device(std::size_t d) {
        const auto& device = venue_.devices[d];
        const ChainPart part{PartKind::device, device.name};
        std::vector<std::size_t> all;
        for (std::size_t p = 0; p < device.paths.size(); ++p) all.push_back(p);
        const bool many_ports = all.size() > 1, many_lanes = device.lanes > 1;
        for (const auto p : all) {
            if (!many_ports) break;
            const auto port = port_of(device, p);
            for (int c = 1; c <= device.lanes && many_lanes; ++c)
                may_fail(add(part, port, {LaneNumber{c}}, atoms_of(d, {p}, c), 0.6), d, {p}, c, false);
            may_fail(add(part, port, {}, atoms_of(d, {p}), many_lanes ? 0.4 : 0.6), d, {p}, 0, false);
        }
        for (int c = 1; c <= device.lanes && many_lanes; ++c)
            may_fail(add(part, "", {LaneNumber{c}}, atoms_of(d, all, c), 0.6), d, all, c, false);
        may_fail(add(part, "", {}, atoms_of(d, all), 0.8), d, all, 0, true);
    }

    // The end of a path that tells it from the others.
    static std::string port_of(const Device& device, std::size_t path) {
        const auto& p = device.paths[path];
        const auto same_to = std::count_if(device.paths.begin(), device.paths.end(),
                                           [&](const PortPath& other) { return other.to == p.to; });
        return same_to > 1 ? p.from : p.to;
    }

    void may_fail(std::optional<std::size_t> s, std::size_t d, const std::vector<std::size_t>& paths,
                  int lane, bool whole) {
        if (!s) return;
        const auto& device = venue_.devices[d];
        const bool powered = whole && is_active(device);
        const bool light = !device.paths.empty() && device.paths[paths[0]].optical;
        if (light) {
            may(*s, PartFaultKind::flat_loss, Shape::flat, -kMostLight, -least_light_, 1, true);
            may_die(*s, PartFaultKind::dead, true);
        } else {
            may_lose(*s, powered ? PartFaultKind::low_supply : PartFaultKind::flat_loss,
                     powered ? PartFaultKind::no_supply : PartFaultKind::dead, 0.15);
        }
        if (device.kind == DeviceKind::optical_transmitter)
            may(*s, PartFaultKind::low_light, Shape::flat, -kMostLight, -least_light_, 0.7, true);
        may_be_set_wrong(*s, d, lane, whole);
        if (device.kind == DeviceKind::tap || device.kind == DeviceKind::outlet_tap)
            may_be_another_tap(*s, d, paths, whole);
    }

    void may_be_set_wrong(std::size_t s, std::size_t d, int lane, bool whole) {
        const auto& device = venue_.devices[d];
        const auto& data = device.data;
        const auto& choice = chain_.choices()[d];
        const auto c = static_cast<std::size_t>(std::max(lane, 1) - 1);
        if (c < choice.trim.size() && (data.trim_low || data.trim_high)) {
            const double set = choice.trim[c].db();
            const double down = data.trim_low.value_or(Gain::db(0)).db() - set;
            const double up = data.trim_high.value_or(Gain::db(0)).db() - set;
            const double weight = whole && device.lanes > 1 ? 0.1 : 1.5;
            if (down < -least_) may(s, PartFaultKind::wrong_trim, Shape::flat, down, -least_, weight);
            if (up > least_) may(s, PartFaultKind::wrong_trim, Shape::flat, least_, up, weight);
        }
        if (whole && data.slope_high) {
            const double set = choice.slope.db(), most = data.slope_high->db();
            if (set > least_) may(s, PartFaultKind::wrong_slope, Shape::slope, least_, set, 1);
            if (most - set > least_) may(s, PartFaultKind::wrong_slope, Shape::slope, set - most, -least_, 0.5);
        }
        if (c >= choice.pads.size()) return;
        const double set = choice.pads[c] ? choice.pads[c]->loss.db() : 0;
        std::set<double> changes;
        if (set > 0) changes.insert(set);  // left out
        for (const auto& pad : venue_.stock.pads) changes.insert(set - pad.loss.db());
        for (const double change : changes)
            if (std::abs(change) >= least_ / 2)
                may(s, PartFaultKind::wrong_pad, Shape::flat, change, change, 1.0 / static_cast<double>(changes.size()));
    }

    // Another port of the same tap, or another of the stocked taps.
    void may_be_another_tap(std::size_t s, std::size_t d, const std::vector<std::size_t>& paths, bool whole) {
        Possibility swap;
        swap.suspect = s, swap.kind = PartFaultKind::wrong_tap, swap.shape = Shape::port_swap;
        swap.least = swap.most = 1, swap.weight = 0.5;
        if (paths.size() == 1)
            for (std::size_t p = 0; p < venue_.devices[d].paths.size(); ++p)
                if (p != paths[0]) {
                    swap.other_path = p;
                    out_.possibilities.push_back(swap);
                }
        if (!whole || !chain_.choices()[d].tap) return;
        for (std::size_t t = 0; t < venue_.stock.taps.size(); ++t)
            if (t != *chain_.choices()[d].tap) {
                swap.stocked = t;
                out_.possibilities.push_back(swap);
            }
    }

    // A supply that feeds several parts takes them all down.
    void add_supply(const PowerSupply& supply) {
        std::vector<Atom> all;
        for (const auto& load : supply.loads) {
            for (std::size_t f = 0; f < venue_.feeds.size(); ++f)
                if (venue_.feeds[f].name == load.port.device)
                    for (const auto& lane : venue_.feeds[f].lanes)
                        all.push_back({AtomKind::feed, f, 0, lane.lane.value});
            for (std::size_t d = 0; d < venue_.devices.size(); ++d)
                if (venue_.devices[d].name == load.port.device)
                    for (std::size_t p = 0; p < venue_.devices[d].paths.size(); ++p)
                        for (const auto& atom : atoms_of(d, {p})) all.push_back(atom);
        }
        const auto s = add({PartKind::device, supply.device}, "supply", {}, all, 0.2);
        if (!s) return;
        may(*s, PartFaultKind::low_supply, Shape::flat, -kMost, -least_, 1);
        may_die(*s, PartFaultKind::no_supply, false);
    }

    // Every pair and every ring of three of the conductors that come to an input port; with four or
    // fewer also two pairs at once.
    void add_crossings() {
        const auto& ports = chain_.chain().ports();
        for (std::size_t p = 0; p < ports.size(); ++p) {
            if (ports[p].port.direction != PortDirection::in || ports[p].port.lanes < 2) continue;
            std::vector<int> lit;  // conductors with one signal each
            for (int c = 1; c <= ports[p].port.lanes; ++c)
                if (chain_.visits_at(p, c).size() == 1) lit.push_back(c);
            const auto n = lit.size();
            for (std::size_t i = 0; i < n; ++i)
                for (std::size_t j = i + 1; j < n; ++j) {
                    add_crossing(p, {lit[i], lit[j]}, {lit[j], lit[i]}, 1);
                    for (std::size_t k = j + 1; k < n; ++k) {
                        add_crossing(p, {lit[i], lit[j], lit[k]}, {lit[j], lit[k], lit[i]}, 0.1);
                        add_crossing(p, {lit[i], lit[j], lit[k]}, {lit[k], lit[i], lit[j]}, 0.1);
                    }
                }
            if (n != 4) continue;
            for (const auto& order : {std::vector{1, 0, 3, 2}, std::vector{2, 3, 0, 1}, std::vector{3, 2, 1, 0}}) {
                std::vector<int> turned;
                for (const int i : order) turned.push_back(lit[static_cast<std::size_t>(i)]);
                add_crossing(p, lit, turned, 0.1);
            }
        }
    }

    // The run that brings a visit to an input port, and the conductor as it left.
    std::optional<Atom> run_into(std::size_t visit) const {
        const auto atom = atom_of(chain_.chain(), visit);
        return atom.kind == AtomKind::run ? std::optional(atom) : std::nullopt;
    }

    void add_crossing(std::size_t port, const std::vector<int>& at, const std::vector<int>& from, double weight) {
        Possibility p;
        p.kind = PartFaultKind::crossed, p.port = port, p.weight = weight;
        std::vector<Atom> atoms;
        std::vector<LaneNumber> lanes;
        for (std::size_t i = 0; i < at.size(); ++i) {
            p.to.push_back(chain_.visits_at(port, at[i]).front());
            p.from.push_back(chain_.visits_at(port, from[i]).front());
            p.order.push_back(LaneNumber{from[i]});
            lanes.push_back(LaneNumber{at[i]});
            if (const auto atom = run_into(p.to.back())) atoms.push_back(*atom);
        }
        if (atoms.size() != at.size()) return;
        std::set<std::size_t> runs;
        for (const auto& atom : atoms) runs.insert(atom.part);
        // Conductors of one cable are crossed more often than those of two.
        const double often = runs.size() == 1 ? 0.1 : 0.03;
        for (const auto run : runs) {
            const auto s = add({PartKind::run, venue_.runs[run].name}, "", lanes, atoms,
                               often / static_cast<double>(runs.size()));
            if (!s) return;
            p.suspect = *s;
            p.least = p.most = 1;
            out_.possibilities.push_back(p);
        }
    }

    const ChainPoints& chain_;
    const Venue& venue_;
    const std::vector<PowerSupply>& power_;
    double least_, least_light_;
    bool holds_ = false;  // some receiver holds its output level
    Suspicions out_;
};

}  // namespace

Suspicions suspicions_of(const ChainPoints& chain, const std::vector<PowerSupply>& power,
                          Gain least) {
    return Collector(chain, power, least).collect();
}

}  // namespace mastline
