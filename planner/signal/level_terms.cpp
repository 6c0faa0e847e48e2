// SPDX-License-Identifier: Apache-2.0
#include "planner/signal/level_terms.hpp"

#include <algorithm>
#include <map>

namespace mastline {

namespace {

constexpr double kEqualiserLow = 950, kEqualiserHigh = 2150;  // MHz, satellite IF

void add(Terms& terms, const Term& term) {
    const auto it = std::lower_bound(terms.begin(), terms.end(), term.unknown,
                                     [](const Term& t, std::size_t u) { return t.unknown < u; });
    if (it == terms.end() || it->unknown != term.unknown) {
        terms.insert(it, term);
        return;
    }
    it->nominal += term.nominal;
    it->fall += term.fall;
    it->rise += term.rise;
}

class TermWalk {
public:
    TermWalk(const Chain& chain, const Levels& levels, const std::vector<Unknown>& unknowns)
        : chain_(chain), levels_(levels), unknowns_(unknowns) {
        for (std::size_t u = 0; u < unknowns.size(); ++u) {
            const bool of_run = unknowns[u].kind >= Unknown::Kind::run_pad;
            (of_run ? of_run_ : of_device_)[unknowns[u].part].push_back(u);
        }
        for (std::size_t v = 0; v < chain.visits().size(); ++v) terms_.push_back(terms_at(v));
    }

    std::vector<TrackTerms> take() { return std::move(terms_); }

private:
    TrackTerms terms_at(std::size_t v) {
        const auto& visit = chain_.visits()[v];
        if (!visit.parent) return TrackTerms(all_tracks(levels_.states()[v]).size());
        TrackTerms terms = terms_[*visit.parent];
        const auto& before = levels_.states()[*visit.parent];
        if (visit.run) through_run(visit, v, before, terms);
        else if (!chain_.path(visit).optical) through_device(visit, before, terms);
        return terms;
    }

    void through_device(const Visit& visit, const SignalState& before, TrackTerms& terms) const {
        const auto& device = chain_.device(visit);
        if (device.kind == DeviceKind::optical_receiver) hold(device.data, before, terms);
        const auto it = of_device_.find(chain_.ports()[visit.port].node);
        const auto lane =
            static_cast<std::size_t>(chain_.visits()[*visit.parent].conductor) - 1;
        const auto tracks = all_tracks(before);
        if (it != of_device_.end())
            for (const auto u : it->second)
                for (std::size_t t = 0; t < tracks.size(); ++t)
                    if (const auto term = device_term(u, chain_.path(visit), lane, tracks[t]->mhz))
                        add(terms[t], *term);
        if (chain_.ports()[visit.port].port.carries_all)
            into_user_bands(device.data, levels_.carriers(visit).size(), terms);
    }

    std::optional<Term> device_term(std::size_t u, const PortPath& path, std::size_t lane,
                                    double mhz) const {
        const auto& unknown = unknowns_[u];
        const auto& venue = chain_.venue();
        const auto& device = venue.devices[unknown.part];
        if (unknown.kind == Unknown::Kind::slope)
            return Term{u, -slope_share(device.data, mhz), 0, 0};
        if (unknown.kind == Unknown::Kind::tap) {
            const auto& tap = venue.stock.taps[unknown.stock];
            const double more = (tap.tolerance - path.tolerance).db();  // it takes the path's place
            return Term{u, -(path.to == "out" ? tap.through_loss : tap.tap_loss).db(), more, more};
        }
        if (unknown.lane != lane) return std::nullopt;
        if (unknown.kind == Unknown::Kind::trim) return Term{u, 1, 0, 0};
        const auto& pad = venue.stock.pads[unknown.stock];
        return Term{u, -pad.loss.db(), pad.tolerance.db(), pad.tolerance.db()};
    }

    static void hold(const DeviceData& data, const SignalState& before, TrackTerms& terms) {
        if (data.levelling != Levelling::level_held || !data.held_level || !data.held_at) return;
        const double at = megahertz(*data.held_at);
        const auto held = std::find_if(before.tracks.begin() + 2, before.tracks.end(),
                                       [&](const Track& t) { return t.mhz == at; });
        if (held == before.tracks.end()) return;
        const auto reference = terms[static_cast<std::size_t>(held - before.tracks.begin())];
        for (auto& track : terms) track = difference(track, reference);
    }

    static void into_user_bands(const DeviceData& data, std::size_t carriers, TrackTerms& terms) {
        if (data.user_bands.empty()) return;
        terms.resize(2 + carriers);
        if (data.output_level)
            for (auto& track : terms) track.clear();
        const auto again = terms;
        terms.insert(terms.end(), again.begin(), again.end());
    }

    void through_run(const Visit& visit, std::size_t v, const SignalState& before,
                     TrackTerms& terms) const {
        const auto it = of_run_.find(*visit.run);
        if (it == of_run_.end() || before.light) return;
        const auto from = all_tracks(before), to = all_tracks(levels_.states()[v]);
        const auto lane = static_cast<std::size_t>(chain_.visits()[*visit.parent].conductor) - 1;
        for (const auto u : it->second)
            for (std::size_t t = 0; t < from.size(); ++t)
                if (const auto term = run_term(u, lane, *from[t], *to[t])) add(terms[t], *term);
    }

    std::optional<Term> run_term(std::size_t u, std::size_t lane, const Track& from,
                                 const Track& to) const {
        switch (unknowns_[u].kind) {
            case Unknown::Kind::run_pad:
                return unknowns_[u].lane == lane ? std::optional(Term{u, -1, 0, 0}) : std::nullopt;
            case Unknown::Kind::run_gain: return Term{u, 1, 0, 0};
            case Unknown::Kind::run_equaliser:
                return Term{u, -std::clamp((kEqualiserHigh - from.mhz) / (kEqualiserHigh - kEqualiserLow),
                                           0.0, 1.0), 0, 0};
            default:  // run_shorter: the share of its length taken away, its tolerance left as it is
                return Term{u, from.nominal - to.nominal, 0, 0};
        }
    }

    const Chain& chain_;
    const Levels& levels_;
    const std::vector<Unknown>& unknowns_;
    std::map<std::size_t, std::vector<std::size_t>> of_device_, of_run_;
    std::vector<TrackTerms> terms_;
};

}  // namespace

std::vector<TrackTerms> level_terms(const Chain& chain, const Levels& levels,
                                    const std::vector<Unknown>& unknowns) {
    return TermWalk(chain, levels, unknowns).take();
}

std::vector<const Track*> all_tracks(const SignalState& state) {
    std::vector<const Track*> out;
    for (const auto& track : state.tracks) out.push_back(&track);
    for (const auto& track : state.high_slot) out.push_back(&track);
    return out;
}

Terms difference(const Terms& a, const Terms& b) {
    Terms out;
    for (const auto& term : a) add(out, {term.unknown, term.nominal, 0, 0});
    for (const auto& term : b) add(out, {term.unknown, -term.nominal, 0, 0});
    std::erase_if(out, [](const Term& t) { return t.nominal == 0; });
    return out;
}

}  // namespace mastline
