// SPDX-License-Identifier: Apache-2.0
#include "planner/assignment/cures.hpp"

#include <algorithm>
#include <set>

#include "planner/assignment/parts.hpp"
#include "planner/assignment/proof_text.hpp"
#include "planner/assignment/work_clock.hpp"

namespace mastline {

namespace {

using packing::Model;
using packing::WorkClock;

// Trying cures is worth little time: they are suggestions, the plan is the answer.
constexpr double kSeconds = 3, kSecondsOfOne = 0.25;

enum class Effect { cures, does_not, unknown };

class Cures {
public:
    Cures(const Venue& venue, const SignalPlan& signal, const LineupModel& lineup, const packing::Solution& solution,
          const packing::Part& part, std::int64_t short_by)
        : venue_(venue), signal_(signal), lineup_(lineup), solution_(solution), part_(part), short_by_(short_by),
          end_(WorkClock::in(kSeconds)) {
        add_items(part);
        for (const auto& other : solution.parts)
            if (other.complete) add_items(other);
        base_ = packing::with_items(lineup.model, items_);
    }

    std::string text() {
        move_a_lane();
        add_licences();
        add_cards();
        protect_fewer();
        leave_channels_out();
        if (part_.ruling.reason == packing::Reason::open) add("give some channels a card (card = '...') and plan again: the search did not finish, and has less to do then");
        auto out = list();
        if (late_) out += " (not every cure could be tried in the time allowed)";
        return out;
    }

private:
    struct Cure {
        std::string text;
        std::optional<std::int64_t> weight;
    };

    void add_items(const packing::Part& part) { items_.insert(items_.end(), part.items.begin(), part.items.end()); }

    void add(const std::string& cure, std::optional<std::int64_t> weight = {}) {
        cures_.push_back({cure + (weight ? " (weight " + std::to_string(*weight) + ")" : ""), weight});
    }

    // Licences and cards by their prices where both have one; the others stand by what they ask of the site.
    std::string list() {
        const auto dearer = [](const Cure& a, const Cure& b) { return a.weight && b.weight && *a.weight > *b.weight; };
        if (const auto at = std::ranges::adjacent_find(cures_, dearer); at != cures_.end()) std::iter_swap(at, at + 1);
        std::string out;
        for (const auto& cure : cures_) out += (out.empty() ? "" : ", or ") + cure.text;
        if (cures_.size() < 2) return out;
        if (!priced()) return out + "; no prices are given: rewiring first, then licences, cards, fewer channels";
        return out + (std::ranges::count_if(cures_, [](const Cure& c) { return c.weight.has_value(); }) > 1
                          ? "; rewiring first, then what is bought by its weight, then fewer channels"
                          : "; rewiring first, then licences, the cheapest cards, fewer channels");
    }

    bool priced() const {
        return std::any_of(venue_.card_models.begin(), venue_.card_models.end(), [](const CardModel& m) { return m.weight != 1 || m.licence_weight; });
    }

    const CardModel& card_model(std::size_t card) const { return *model_of(venue_, venue_.cards[card]); }

    std::optional<packing::Solution> tried(const Model& model) {
        const double left = WorkClock::seconds_to(end_);
        if (left <= 0) {
            late_ = true;
            return std::nullopt;
        }
        return packing::solve(model, {.nodes = 20'000, .seconds = std::min(kSecondsOfOne, left)});
    }

    Effect effect(const Model& model) {
        const auto solution = tried(model);
        if (!solution) return Effect::unknown;
        if (solution->complete()) return Effect::cures;
        return solution->proven() ? Effect::does_not : Effect::unknown;
    }

    bool homeless(std::size_t item) const {
        const auto& homes = solution_.homes[item];
        return !homes[0] || (lineup_.model.items[item].copies == 2 && !homes[1]);
    }

    std::set<LaneRef> lanes_of_the_homeless() const {
        std::set<LaneRef> out;
        for (const auto i : part_.items)
            if (const auto carrier = lineup_.carrier[lineup_.model.items[i].item_class]; carrier && homeless(i))
                out.insert({venue_.carriers[*carrier].feed, venue_.carriers[*carrier].lane});
        return out;
    }

    // A lane at one more card, for all its carriers that the card receives; the first that helps.
    void move_a_lane() {
        for (const auto& lane : lanes_of_the_homeless())
            for (std::size_t b = 0; b < venue_.cards.size(); ++b) {
                const auto input = free_input(b);
                auto model = base_;
                if (input.empty() || !bring(model, lane, b) || effect(model) != Effect::cures) continue;
                return add("bring lane " + lane.feed + "/" + std::to_string(lane.lane.value) + " to free input " + input +
                           " of card " + venue_.cards[b].name);
            }
    }

    // An input of a tuner card at which no lane comes in.
    std::string free_input(std::size_t card) const {
        const auto* model = model_of(venue_, venue_.cards[card]);
        if (model == nullptr || model->kind != CardKind::tuner) return {};
        for (int n = 1; n <= model->inputs; ++n) {
            const PortRef input{venue_.cards[card].name, "in" + std::to_string(n)};
            const bool taken = std::any_of(signal_.reach.begin(), signal_.reach.end(), [&](const InputReach& r) {
                return r.input == input && !r.lanes.empty();
            });
            if (!taken) return input.port;
        }
        return {};
    }

    // Whether that is anything new.
    bool bring(Model& model, const LaneRef& lane, std::size_t card) const {
        const auto& systems = model_of(venue_, venue_.cards[card])->systems;
        bool fresh = false;
        for (std::size_t c = 0; c < model.allowed.size(); ++c) {
            if (!lineup_.carrier[c] || model.allowed[c][card]) continue;
            const auto& carrier = venue_.carriers[*lineup_.carrier[c]];
            const bool received = systems.empty() || std::find(systems.begin(), systems.end(), carrier.system) != systems.end();
            if (LaneRef{carrier.feed, carrier.lane} == lane && received) model.allowed[c][card] = fresh = true;
        }
        return fresh;
    }

    // The first card of each model: others are wired and licensed much the same.
    std::vector<std::size_t> different_cards() const {
        std::vector<std::size_t> out;
        for (const auto b : part_.bins) {
            if (model_of(venue_, venue_.cards[b]) == nullptr) continue;
            const bool seen = std::any_of(out.begin(), out.end(), [&](std::size_t o) {
                return venue_.cards[o].model == venue_.cards[b].model && venue_.cards[o].licences == venue_.cards[b].licences;
            });
            if (!seen) out.push_back(b);
        }
        return out;
    }

    Model with_licences(std::size_t bin, std::int64_t more) const {
        auto model = base_;
        model.bins[bin].licences += static_cast<int>(more);
        return model;
    }

    // Of licences on the card; none: no number up to those that are short helps.
    std::optional<Cure> licences_on(std::size_t card) {
        std::int64_t more = std::max<std::int64_t>(short_by_, 1);
        if (effect(with_licences(card, more)) != Effect::cures) return std::nullopt;
        Effect fewer = Effect::does_not;
        while (more > 1 && (fewer = effect(with_licences(card, more - 1))) == Effect::cures) --more;
        Cure out{counted(more, "more licence") + " on card " + venue_.cards[card].name +
                     (more > 1 && fewer != Effect::does_not ? " (fewer were not ruled out)" : ""), {}};
        if (card_model(card).licence_weight) out.weight = more * *card_model(card).licence_weight;
        return out;
    }

    // The fewest on one card; the cheapest where all that help have a price, else the first.
    void add_licences() {
        std::optional<Cure> best;
        for (const auto b : different_cards()) {
            auto cure = licences_on(b);
            if (!cure || (best && *cure->weight >= *best->weight)) continue;
            best = std::move(cure);
            if (!licences_priced()) break;
        }
        if (best) add(best->text, best->weight);
    }

    bool licences_priced() const {
        return std::ranges::all_of(different_cards(), [&](std::size_t b) { return card_model(b).licence_weight.has_value(); });
    }

    // A card that is lost alone and stands where limits of chassis allow it: outside. What its model is
    // licensed for on the site counts for it too.
    Model with_another(Model model, std::size_t bin) const {
        std::size_t alone = 0;
        for (const auto& other : model.bins) alone = std::max(alone, other.loss_group + 1);
        model.bins.push_back(model.bins[bin]);
        model.bins.back().loss_group = alone;
        for (auto& row : model.allowed) row.push_back(row[bin]);
        if (const auto limit = site_limit(bin)) model.limits[*limit].bins.push_back(model.bins.size() - 1);
        return model;
    }

    std::optional<std::size_t> site_limit(std::size_t bin) const {
        const auto most = card_model(bin).site_licences;
        if (!most) return std::nullopt;
        std::vector<std::size_t> alike;
        for (std::size_t b = 0; b < venue_.cards.size(); ++b)
            if (venue_.cards[b].model == venue_.cards[bin].model) alike.push_back(b);
        const auto at = std::ranges::find_if(lineup_.model.limits, [&](const packing::Limit& l) {
            return l.kind == packing::Limit::Kind::licences && l.most == *most && l.bins == alike;
        });
        if (at == lineup_.model.limits.end()) return std::nullopt;
        return static_cast<std::size_t>(at - lineup_.model.limits.begin());
    }

    struct MoreCards {
        std::vector<std::size_t> like;  // one or two cards of the venue
        std::int64_t weight;
    };

    // One or two more cards, the cheapest first; of the same price one before two.
    std::vector<MoreCards> more_cards() const {
        std::vector<MoreCards> out;
        const auto different = different_cards();
        for (const auto a : different) out.push_back({{a}, card_model(a).weight});
        for (std::size_t i = 0; i < different.size(); ++i)
            for (std::size_t j = i; j < different.size(); ++j)
                out.push_back({{different[i], different[j]},
                               std::int64_t{card_model(different[i]).weight} + card_model(different[j]).weight});
        std::stable_sort(out.begin(), out.end(), [](const auto& x, const auto& y) { return x.weight < y.weight; });
        return out;
    }

    void add_cards() {
        for (const auto& [like, weight] : more_cards()) {
            auto model = base_;
            for (const auto b : like) model = with_another(std::move(model), b);
            if (effect(model) == Effect::cures)
                return add(cards_text(like), priced() ? std::optional(weight) : std::nullopt);
        }
    }

    std::string cards_text(const std::vector<std::size_t>& like) const {
        const auto one = [&](std::int64_t n, std::size_t b) {
            return counted(n, "more card") + " of model " + venue_.cards[b].model + " wired like " + venue_.cards[b].name;
        };
        if (like.front() == like.back()) return one(static_cast<std::int64_t>(like.size()), like.front());
        return one(1, like.front()) + " and " + one(1, like.back());
    }

    std::string channels_of_base(const std::set<std::size_t>& items) const {
        std::set<std::size_t> channels;
        for (const auto i : items) channels.insert(lineup_.channel[items_[i]]);
        return channel_list(venue_, {channels.begin(), channels.end()});
    }

    // Those of the chosen that none can be spared of, as far as one by one tells.
    template <class ModelOf>
    std::set<std::size_t> fewest(std::set<std::size_t> chosen, ModelOf&& model_of_choice) {
        for (const auto i : std::set(chosen)) {
            chosen.erase(i);
            if (effect(model_of_choice(chosen)) != Effect::cures) chosen.insert(i);
        }
        return chosen;
    }

    std::set<std::size_t> protected_items() const {
        std::set<std::size_t> out;
        for (std::size_t i = 0; i < part_.items.size(); ++i)
            if (base_.items[i].is_protected) out.insert(i);
        return out;
    }

    Model without_protection(const std::set<std::size_t>& items) const {
        auto model = base_;
        for (const auto i : items) model.items[i].is_protected = false, model.items[i].copies = 1;
        return model;
    }

    void protect_fewer() {
        auto chosen = protected_items();
        const auto model = [&](const auto& items) { return without_protection(items); };
        if (chosen.empty() || effect(model(chosen)) != Effect::cures) return;
        chosen = fewest(std::move(chosen), model);
        add("leave " + counted(std::ssize(chosen), "channel") + " (" + channels_of_base(chosen) + ") unprotected");
    }

    Model without(const std::set<std::size_t>& leaving) const {
        std::vector<std::size_t> stay;
        for (std::size_t i = 0; i < base_.items.size(); ++i)
            if (!leaving.contains(i)) stay.push_back(i);
        return packing::with_items(base_, stay);
    }

    // Those that have no home now, then those that the rest leaves without one, until the rest fits.
    void leave_channels_out() {
        std::set<std::size_t> leaving;
        for (std::size_t i = 0; i < part_.items.size(); ++i)
            if (homeless(part_.items[i])) leaving.insert(i);
        for (auto rest = tried(without(leaving)); !rest || !rest->complete(); rest = tried(without(leaving)))
            if (!rest || !leave_more(leaving, *rest)) return;
        leaving = fewest(std::move(leaving), [&](const auto& items) { return without(items); });
        add("drop " + counted(std::ssize(leaving), "channel") + " (" + channels_of_base(leaving) + ")");
    }

    // Those without a home in what was tried; where all have one, a protected one, or else any.
    bool leave_more(std::set<std::size_t>& leaving, const packing::Solution& rest) const {
        std::vector<std::size_t> stayed, more;
        for (std::size_t i = 0; i < base_.items.size(); ++i)
            if (!leaving.contains(i)) stayed.push_back(i);
        for (std::size_t k = 0; k < stayed.size(); ++k) {
            const auto& homes = rest.homes[k];
            if (stayed[k] < part_.items.size() && (!homes[0] || (base_.items[stayed[k]].copies == 2 && !homes[1])))
                more.push_back(stayed[k]);
        }
        std::erase_if(stayed, [&](std::size_t i) { return i >= part_.items.size(); });
        if (more.empty() && !stayed.empty()) {
            const auto guarded = std::ranges::find_if(stayed, [&](std::size_t i) { return base_.items[i].is_protected; });
            more.push_back(guarded == stayed.end() ? stayed.front() : *guarded);
        }
        leaving.insert(more.begin(), more.end());
        return !more.empty();
    }

    const Venue& venue_;
    const SignalPlan& signal_;
    const LineupModel& lineup_;
    const packing::Solution& solution_;
    const packing::Part& part_;
    std::int64_t short_by_;
    WorkClock::time_point end_;
    std::vector<std::size_t> items_;  // of the part, then of the parts that fit: what `base_` has
    Model base_;
    bool late_ = false;
    std::vector<Cure> cures_;
};

}  // namespace

std::string cures_text(const Venue& venue, const SignalPlan& signal, const LineupModel& lineup,
                       const packing::Solution& solution, const packing::Part& part, std::int64_t short_by) {
    return Cures(venue, signal, lineup, solution, part, short_by).text();
}

}  // namespace mastline
