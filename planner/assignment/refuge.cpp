// SPDX-License-Identifier: Apache-2.0
#include "mastline/assignment/refuge.hpp"

#include <algorithm>
#include <map>
#include <set>

#include "planner/assignment/integer_program.hpp"
#include "planner/assignment/lineup_model.hpp"
#include "planner/assignment/placement.hpp"

namespace mastline {

namespace {

using packing::Limit;
using packing::Placement;

// CBC's time for one outage; what it leaves open is said to be so.
constexpr double kRefugeSeconds = 1;
// What a protected channel counts against any number of others.
constexpr double kProtected = 1000;

// Licences are those of the whole plan: an input that goes dark is still connected. What reaches a
// card is what is left.
LineupModel emergency_model(const Venue& venue, const SignalPlan& signal, const LineupModel& whole, const Outage& outage) {
    LineupModel out = whole;
    SignalPlan left;
    bool all_come_in = true;
    for (const auto& reach : signal.reach) {
        left.reach.push_back({reach.input, {}});
        for (const auto& lane : reach.lanes)
            if (outage.comes_in(reach.input, lane)) left.reach.back().lanes.push_back(lane);
            else all_come_in = false;
    }
    if (!all_come_in) out.model.allowed = allowed_cards(venue, left, whole);
    for (auto& item : out.model.items) item.pinned = {}, item.genre.reset();
    return out;
}

class Refuging {
public:
    Refuging(const Venue& venue, const SignalPlan& signal, const LineupModel& whole, const Outage& outage,
             const std::vector<ChannelHome>& running, const std::vector<std::size_t>& channels)
        : venue_(venue), signal_(signal), channels_(channels),
          lineup_(emergency_model(venue, signal, whole, outage)), in_use_(venue.cards.size()) {
        for (const auto& home : running) in_use_[home.card] = true;
        for (std::size_t b = 0; b < venue.cards.size(); ++b)
            if (!outage.card[b] && (in_use_[b] || venue.cards[b].state != CardState::buy)) bins_.push_back(b);
        settled_.emplace(lineup_.model);
        for (const auto& home : running)
            if (const auto item = item_of(home.channel))
                settled_->put(*item, static_cast<std::size_t>(home.copy) - 1, home.card);
        for (const auto channel : channels)
            if (const auto item = item_of(channel); item && !candidates(*item).empty()) items_.push_back(*item);
    }

    Refuges run() {
        Placement best = by_hand();
        Refuges out;
        out.proven = cannot_be_bettered(best) || improve_exactly(best);
        for (const auto channel : channels_) out.channels.push_back(refuge(channel, best));
        return out;
    }

private:
    std::optional<std::size_t> item_of(std::size_t channel) const {
        const auto at = std::find(lineup_.channel.begin(), lineup_.channel.end(), channel);
        if (at == lineup_.channel.end()) return std::nullopt;
        return static_cast<std::size_t>(at - lineup_.channel.begin());
    }

    std::vector<std::size_t> candidates(std::size_t item) const {
        std::vector<std::size_t> out;
        for (const auto b : bins_)
            if (lineup_.model.allowed[lineup_.model.items[item].item_class][b]) out.push_back(b);
        return out;
    }

    // Protected ones and large classes first, each to a card that is tuned to its carrier already,
    // else to one in use, else to the roomiest.
    Placement by_hand() const {
        std::map<std::size_t, int> size;
        for (const auto i : items_) ++size[lineup_.model.items[i].item_class];
        auto order = items_;
        std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
            const auto& x = lineup_.model.items[a];
            const auto& y = lineup_.model.items[b];
            if (x.is_protected != y.is_protected) return x.is_protected;
            return std::pair(-size[x.item_class], x.item_class) < std::pair(-size[y.item_class], y.item_class);
        });
        Placement out = *settled_;
        for (const auto i : order)
            if (const auto bin = best_bin(out, i)) out.put(i, 0, *bin);
        return out;
    }

    std::optional<std::size_t> best_bin(const Placement& placement, std::size_t item) const {
        std::optional<std::size_t> best;
        std::array<int, 3> best_rank{};
        for (const auto b : candidates(item)) {
            if (!placement.fits(item, 0, b)) continue;
            const std::array<int, 3> rank{placement.of_class(b, lineup_.model.items[item].item_class) > 0,
                                          in_use_[b], lineup_.model.bins[b].licences - placement.in_bin(b)};
            if (!best || rank > best_rank) best = b, best_rank = rank;
        }
        return best;
    }

    // By count: every protected channel has a place, and all have one or no licence is left.
    bool cannot_be_bettered(const Placement& placement) const {
        std::set<std::size_t> bins;
        std::int64_t homeless = 0, left = 0;
        for (const auto i : items_) {
            if (placement.homes()[i][0]) continue;
            if (lineup_.model.items[i].is_protected) return false;
            ++homeless;
            for (const auto b : candidates(i)) bins.insert(b);
        }
        for (const auto b : bins) left += lineup_.model.bins[b].licences - placement.in_bin(b);
        return homeless == 0 || (left <= 0 && all_candidates() == bins);
    }

    std::set<std::size_t> all_candidates() const {
        std::set<std::size_t> out;
        for (const auto i : items_)
            for (const auto b : candidates(i)) out.insert(b);
        return out;
    }

    // The best by an integer program, when it beats `best`; whether the best is known then.
    bool improve_exactly(Placement& best) const {
        packing::IntegerProgram program;
        Variables v = variables(program);
        add_cards(program, v);
        add_limits(program, v);
        add_apart(program, v);
        const auto outcome = program.solve(kRefugeSeconds);
        using Outcome = packing::IntegerProgram::Outcome;
        if (outcome == Outcome::optimal || outcome == Outcome::feasible) {
            Placement found = *settled_;
            for (const auto& [at, x] : v.goes)
                if (program.value(x) == 1) found.put(at.first, 0, at.second);
            if (value(found) > value(best)) best = std::move(found);
        }
        return outcome == Outcome::optimal;
    }

    double value(const Placement& placement) const {
        double out = 0;
        for (const auto i : items_)
            if (placement.homes()[i][0]) out += lineup_.model.items[i].is_protected ? kProtected : 1;
        return out;
    }

    struct Variables {
        std::map<std::pair<std::size_t, std::size_t>, int> goes;   // item, bin
        std::map<std::pair<std::size_t, std::size_t>, int> tunes;  // class, bin: a further tuner
        std::map<std::size_t, int> opens;                          // bin that was empty
    };

    Variables variables(packing::IntegerProgram& program) const {
        Variables v;
        for (const auto i : items_) {
            const auto& item = lineup_.model.items[i];
            std::vector<std::pair<int, double>> once;
            for (const auto b : candidates(i)) {
                const int x = program.integer(0, 1, item.is_protected ? -kProtected : -1);
                v.goes[{i, b}] = x;
                once.emplace_back(x, 1);
                if (settled_->of_class(b, item.item_class) == 0) {
                    const auto [at, fresh] = v.tunes.try_emplace({item.item_class, b}, -1);
                    if (fresh) at->second = program.integer(0, 1);
                    program.at_most({{x, 1}, {at->second, -1}}, 0);
                }
                if (settled_->in_bin(b) == 0) {
                    const auto [at, fresh] = v.opens.try_emplace(b, -1);
                    if (fresh) at->second = program.integer(0, 1);
                    program.at_most({{x, 1}, {at->second, -1}}, 0);
                }
            }
            program.at_most(once, 1);
        }
        return v;
    }

    void add_cards(packing::IntegerProgram& program, const Variables& v) const {
        for (const auto b : bins_) {
            const auto& bin = lineup_.model.bins[b];
            std::vector<std::pair<int, double>> items, tunes, rates;
            for (const auto& [at, x] : v.goes) {
                if (at.second != b) continue;
                items.emplace_back(x, 1);
                rates.emplace_back(x, static_cast<double>(lineup_.model.items[at.first].rate[bin.layer]));
            }
            for (const auto& [at, u] : v.tunes)
                if (at.second == b) tunes.emplace_back(u, 1);
            if (items.empty()) continue;
            program.at_most(items, bin.licences - settled_->in_bin(b));
            if (!tunes.empty()) program.at_most(tunes, bin.tuners - settled_->classes_in(b));
            if (bin.rate_limit) program.at_most(rates, static_cast<double>(*bin.rate_limit - settled_->rate_in(b)));
        }
    }

    void add_limits(packing::IntegerProgram& program, const Variables& v) const {
        for (const auto& limit : lineup_.model.limits) {
            const std::set<std::size_t> inside(limit.bins.begin(), limit.bins.end());
            std::vector<std::pair<int, double>> terms;
            if (limit.kind == Limit::Kind::bins) {
                for (const auto& [b, z] : v.opens)
                    if (inside.contains(b)) terms.emplace_back(z, 1);
            } else {
                for (const auto& [at, x] : v.goes)
                    if (inside.contains(at.second))
                        terms.emplace_back(x, limit.kind == Limit::Kind::licences
                                                  ? 1.0
                                                  : static_cast<double>(lineup_.model.items[at.first].rate[0]));
            }
            if (!terms.empty()) program.at_most(terms, static_cast<double>(limit.most - used_of(limit)));
        }
    }

    std::int64_t used_of(const Limit& limit) const {
        std::int64_t out = 0;
        for (const auto b : limit.bins) {
            if (limit.kind == Limit::Kind::bins) out += settled_->in_bin(b) > 0;
            else if (limit.kind == Limit::Kind::licences) out += settled_->in_bin(b);
            else
                for (std::size_t i = 0; i < lineup_.model.items.size(); ++i)
                    for (const auto& home : settled_->homes()[i])
                        if (home == b) out += lineup_.model.items[i].rate[0];
        }
        return out;
    }

    void add_apart(packing::IntegerProgram& program, const Variables& v) const {
        for (const auto& [a, b] : lineup_.model.apart)
            for (const auto bin : bins_) {
                std::vector<std::pair<int, double>> terms;
                int there = 0;
                for (const auto item : {a, b}) {
                    if (const auto at = v.goes.find({item, bin}); at != v.goes.end()) terms.emplace_back(at->second, 1);
                    for (const auto& home : settled_->homes()[item]) there += home == bin;
                }
                if (!terms.empty()) program.at_most(terms, std::max(0, 1 - there));
            }
    }

    Refuge refuge(std::size_t channel, const Placement& placement) const {
        Refuge out;
        out.channel = channel;
        const auto item = item_of(channel);
        if (!item) {
            out.why = "its source is unknown";
            return out;
        }
        out.card = placement.homes()[*item][0];
        if (!out.card) {
            out.why = why_not(placement, *item);
            return out;
        }
        out.idle_card = !in_use_[*out.card];
        if (const auto carrier = lineup_.carrier[lineup_.model.items[*item].item_class])
            out.input = receiving_input(venue_, signal_, *out.card, *carrier);
        return out;
    }

    std::string why_not(const Placement& placement, std::size_t item) const {
        const auto c = lineup_.model.items[item].item_class;
        const auto open = candidates(item);
        if (open.empty())
            return lineup_.input[c] ? "no other encoder card takes input " + venue_.inputs[*lineup_.input[c]].name
                                    : "no other card receives carrier " + venue_.carriers[*lineup_.carrier[c]].name;
        std::string out;
        for (const auto b : open)
            out += (out.empty() ? "" : ", ") + venue_.cards[b].name + " has " + lack(placement, item, b);
        return out;
    }

    std::string lack(const Placement& placement, std::size_t i, std::size_t b) const {
        const auto& item = lineup_.model.items[i];
        const auto& bin = lineup_.model.bins[b];
        if (placement.in_bin(b) >= bin.licences) return "no free licence";
        if (placement.of_class(b, item.item_class) == 0 && placement.classes_in(b) >= bin.tuners)
            return lineup_.input[item.item_class] ? "no free input" : "no free tuner";
        if (bin.rate_limit && placement.rate_in(b) + item.rate[bin.layer] > *bin.rate_limit)
            return "too little output rate left";
        return "a limit of its chassis or site, or a channel to be kept apart, in the way";
    }

    const Venue& venue_;
    const SignalPlan& signal_;
    const std::vector<std::size_t>& channels_;
    LineupModel lineup_;
    std::vector<bool> in_use_;
    std::vector<std::size_t> bins_;   // that could take channels
    std::vector<std::size_t> items_;  // that could go somewhere
    std::optional<Placement> settled_;
};

}  // namespace

struct RefugeFinder::State {
    const Venue& venue;
    const SignalPlan& signal;
    LineupModel whole;
};

RefugeFinder::RefugeFinder(const Venue& venue, const SignalPlan& signal)
    : state_(std::make_unique<const State>(State{venue, signal, lineup_model(venue, signal)})) {}

RefugeFinder::~RefugeFinder() = default;

Refuges RefugeFinder::find(const Outage& outage, const std::vector<ChannelHome>& running,
                           const std::vector<std::size_t>& channels) const {
    if (channels.empty()) return {};
    return Refuging(state_->venue, state_->signal, state_->whole, outage, running, channels).run();
}

}  // namespace mastline
