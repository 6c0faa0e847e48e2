// SPDX-License-Identifier: Apache-2.0
#include "planner/readings/signatures.hpp"

#include <algorithm>
#include <cmath>

#include "mastline/venue/gain_at.hpp"

namespace mastline {

namespace {

constexpr double kDead = 0.98;         // a dead lane is read as no signal
constexpr double kNothingThere = 0.7;  // a crossed lane brings nothing outside its own band
constexpr double kGap = 0.02;          // or no carrier at just this frequency

}  // namespace

Signatures::Signatures(const ChainPoints& chain, const Suspicions& suspicions,
                       const std::vector<ChainPoint>& points)
    : chain_(chain), suspicions_(suspicions), points_(points) {
    std::vector<std::vector<std::size_t>> of_atom(chain.atoms().size());
    for (std::size_t i = 0; i < points.size(); ++i)
        for (const auto& influence : points[i].path) of_atom[influence.atom].push_back(i);
    for (const auto& suspect : suspicions.suspects) {
        member_.emplace_back(chain.atoms().size(), 0);
        std::vector<std::size_t> all;
        for (const auto atom : suspect.atoms) {
            member_.back()[atom] = 1;
            all.insert(all.end(), of_atom[atom].begin(), of_atom[atom].end());
        }
        std::sort(all.begin(), all.end());
        all.erase(std::unique(all.begin(), all.end()), all.end());
        behind_.push_back(std::move(all));
    }
}

Effects Signatures::effects(std::size_t possibility) const {
    Effects out;
    for (const auto i : behind_[suspicions_.possibilities[possibility].suspect]) {
        const auto e = effect(possibility, points_[i]);
        if (e.change != 0 || e.dead > 0) out.emplace_back(i, e);
    }
    return out;
}

double Signatures::flat(const Possibility& p, const ChainPoint& point) const {
    double out = 0;
    for (const auto& i : point.path)
        if (member_[p.suspect][i.atom] != 0) out += p.light ? i.light : i.held ? 0 : i.electrical;
    return out;
}

double Signatures::shape(const Possibility& p, const ChainPoint& point, const Atom& atom, double mhz) const {
    const auto& venue = chain_.chain().venue();
    switch (p.shape) {
        case Shape::flat: return 1;
        case Shape::rising:
            if (point.band_high <= point.band_low) return 1;
            return std::clamp((mhz - point.band_low) / (point.band_high - point.band_low), 0.0, 1.0);
        case Shape::linear: return mhz / std::max(point.band_high, 1.0);
        case Shape::root: return std::sqrt(mhz / std::max(point.band_high, 1.0));
        case Shape::slope: return slope_share(venue.devices[atom.part].data, mhz);
        case Shape::port_swap: break;
    }
    const auto& device = venue.devices[atom.part];
    const auto& choice = chain_.choices()[atom.part];
    const auto& path = device.paths[atom.path];
    const double planned = path_gain(venue, device, choice, path, atom.conductor, mhz);
    if (!p.stocked)
        return path_gain(venue, device, choice, device.paths[p.other_path], atom.conductor, mhz) - planned;
    const auto& tap = venue.stock.taps[*p.stocked];
    return -(path.to == "out" ? tap.through_loss : tap.tap_loss).db() - planned;
}

Effect Signatures::crossed(const Possibility& p, const ChainPoint& point) const {
    for (std::size_t k = 0; k < p.to.size(); ++k) {
        const auto atom = chain_.atom(atom_of(chain_.chain(), p.to[k]));
        for (const auto& i : point.path) {
            if (i.atom != *atom) continue;
            if (point.optical || !i.reaches) return {};
            const auto difference = [&](double mhz) {
                const auto from = chain_.level(p.from[k], mhz), to = chain_.level(p.to[k], mhz);
                return from && to ? *from - *to : 0;
            };
            // Light carries the levels too, so a crossing before the receiver counts the same.
            const double weight = i.electrical != 0 || i.light != 0 || i.reaches ? 1 : 0;
            const double held = i.held ? difference(*i.held) : 0;
            return {weight * (difference(point.mhz) - held),
                    chain_.in_band(p.from[k], point.mhz) ? kGap : kNothingThere};
        }
    }
    return {};
}

Effect Signatures::effect(std::size_t possibility, const ChainPoint& point) const {
    const auto& p = suspicions_.possibilities[possibility];
    if (p.kind == PartFaultKind::crossed) return crossed(p, point);
    const bool dies = p.kind == PartFaultKind::dead || p.kind == PartFaultKind::no_supply;
    Effect out;
    for (const auto& i : point.path) {
        if (member_[p.suspect][i.atom] == 0) continue;
        const auto& atom = chain_.atoms()[i.atom];
        if (dies) {
            const bool shown = i.reaches || (point.optical && i.light != 0);
            if (shown && !(i.held && p.revives)) out.dead = kDead;
        } else if (p.light || i.electrical == 0) {
            if (p.light) out.change += i.light;
        } else {
            const double held = i.held ? shape(p, point, atom, *i.held) : 0;
            out.change += i.electrical * (shape(p, point, atom, point.mhz) - held);
        }
    }
    return out;
}

}  // namespace mastline
