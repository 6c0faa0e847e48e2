// SPDX-License-Identifier: Apache-2.0
#include "planner/signal/level_limits.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "planner/signal/overload.hpp"

namespace mastline {

namespace {

using LimitKind = LevelLimit::Kind;
constexpr double kOpenWindow = 199;  // dBm: an end farther out than this is none

class Limits {
public:
    Limits(const Chain& chain, const Levels& levels, const std::vector<Unknown>& unknowns,
           const std::vector<TrackTerms>& terms)
        : chain_(chain), levels_(levels), unknowns_(unknowns), terms_(terms) {
        for (const auto& load : amplifier_loads(chain, levels))
            allowed_[{load.output, load.conductor.value}] = load.limit.dbm();
        for (const auto& model : chain.venue().card_models)
            if (model.slope_limit) slope_limits_[model.name] = model.slope_limit->db();
    }

    std::vector<LevelLimit> find() {
        for (std::size_t v = 0; v < chain_.visits().size(); ++v) {
            if (levels_.states()[v].light) continue;
            const auto& port = chain_.ports()[chain_.visits()[v].port];
            if (port.port.window) keep_window(v, *port.port.window);
            if (chain_.visits()[v].path) keep_output(v, port);
            if (port.kind == NodeKind::card) keep_slope(v, chain_.venue().cards[port.node]);
        }
        return std::move(limits_);
    }

private:
    // The judged tracks of a visit: edges and carriers, in the highest user band as well.
    std::vector<std::size_t> judged(std::size_t v) const {
        const auto& state = levels_.states()[v];
        const auto carriers = levels_.carriers(chain_.visits()[v]).size();
        std::vector<std::size_t> out;
        for (std::size_t t = 0; t < 2 + carriers; ++t) out.push_back(t);
        for (std::size_t t = 0; t < state.high_slot.size(); ++t)
            out.push_back(state.tracks.size() + t);
        return out;
    }

    void keep_window(std::size_t v, const Window& window) {
        const auto tracks = all_tracks(levels_.states()[v]);
        for (const auto t : judged(v)) {
            const auto& spread = tracks[t]->spread;
            if (window.low.dbm() > -kOpenWindow)
                add(LimitKind::window_low, v, terms_[v][t],
                    tracks[t]->nominal - spread.down - window.low.dbm());
            if (window.high.dbm() < kOpenWindow)
                add(LimitKind::window_high, v, terms_[v][t],
                    window.high.dbm() - tracks[t]->nominal - spread.up);
        }
    }

    void keep_output(std::size_t v, const ChainPort& port) {
        const auto it = allowed_.find({port.ref, chain_.visits()[v].conductor});
        if (it == allowed_.end()) return;
        const auto tracks = all_tracks(levels_.states()[v]);
        for (const auto t : judged(v))
            add(LimitKind::amplifier, v, terms_[v][t],
                it->second - tracks[t]->nominal - tracks[t]->spread.up);
    }

    // Between carriers, or between the band edges of a lane with fewer than two.
    void keep_slope(std::size_t v, const Card& card) {
        const auto limit = slope_limits_.find(card.model);
        if (limit == slope_limits_.end()) return;
        auto compared = judged(v);
        const auto in_slot = levels_.states()[v].tracks.size();
        if (levels_.carriers(chain_.visits()[v]).size() >= 2)
            std::erase_if(compared, [&](std::size_t t) { return t < 2 || (t >= in_slot && t < in_slot + 2); });
        const auto tracks = all_tracks(levels_.states()[v]);
        for (const auto a : compared)
            for (const auto b : compared)
                if (a != b)
                    add(LimitKind::slope, v, difference(terms_[v][a], terms_[v][b]),
                        limit->second - tracks[a]->nominal + tracks[b]->nominal);
    }

    void add(LimitKind kind, std::size_t v, const Terms& terms, double most) {
        LevelLimit limit{kind, {}, most, v};
        for (const auto& term : terms) {
            const double factor = kind == LimitKind::window_low ? term.fall - term.nominal
                                                           : term.nominal + term.rise;
            if (std::abs(factor) > 1e-12) limit.factors.emplace_back(term.unknown, factor);
        }
        if (limit.factors.empty() || never_reached(limit)) return;
        const auto [it, fresh] = known_.try_emplace({limit.of_window(), rounded(limit)}, limits_.size());
        if (fresh) limits_.push_back(std::move(limit));
        else if (limit.most < limits_[it->second].most) limits_[it->second] = std::move(limit);
    }

    // Of a limit without margin: whatever the unknowns are, it is kept.
    bool never_reached(const LevelLimit& limit) const {
        if (limit.of_window()) return false;
        double greatest = 0;
        for (const auto& [u, factor] : limit.factors)
            greatest += std::max(factor * unknowns_[u].low, factor * unknowns_[u].high);
        return greatest <= limit.most;
    }

    using Key = std::vector<std::pair<std::size_t, long long>>;
    static Key rounded(const LevelLimit& limit) {
        Key key;
        for (const auto& [u, factor] : limit.factors) key.emplace_back(u, std::llround(factor * 1e9));
        return key;
    }

    const Chain& chain_;
    const Levels& levels_;
    const std::vector<Unknown>& unknowns_;
    const std::vector<TrackTerms>& terms_;
    std::map<std::pair<PortRef, int>, double> allowed_;
    std::map<std::string, double> slope_limits_;
    std::map<std::pair<bool, Key>, std::size_t> known_;
    std::vector<LevelLimit> limits_;
};

}  // namespace

std::vector<LevelLimit> level_limits(const Chain& chain, const Levels& levels,
                                     const std::vector<Unknown>& unknowns,
                                     const std::vector<TrackTerms>& terms) {
    return Limits(chain, levels, unknowns, terms).find();
}

}  // namespace mastline
