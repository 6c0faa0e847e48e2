// SPDX-License-Identifier: Apache-2.0
// Counts that rule out a choice of bins.
#include <algorithm>
#include <bit>
#include <map>
#include <numeric>
#include <set>

#include "planner/assignment/outline.hpp"

namespace mastline::packing {

namespace {

class Counting {
public:
    Counting(const Model& model, const Outline& outline, const Choice& choice)
        : model_(model), outline_(outline), choice_(choice) {
        for (std::size_t t = 0; t < choice.size(); ++t)
            if (choice[t] > 0) present_ |= std::uint64_t{1} << t;
    }

    Ruling run() const {
        for (const auto& limit : model_.limits)
            if (auto r = bins_allowed(limit); r.reason != Reason::none) return r;
        const auto scopes = scopes_to_try();
        for (const auto scope : scopes)
            if (auto r = licences(scope); r.reason != Reason::none) return r;
        for (const auto scope : scopes)
            if (auto r = tuners(scope); r.reason != Reason::none) return r;
        for (const auto scope : scopes)
            if (auto r = fill(scope); r.reason != Reason::none) return r;
        for (const auto scope : scopes)
            if (auto r = fill_by_pieces(scope); r.reason != Reason::none) return r;
        if (auto r = splits(); r.reason != Reason::none) return r;
        for (const auto scope : scopes)
            if (auto r = rate(scope); r.reason != Reason::none) return r;
        if (!model_.reserve) return {};
        for (const auto scope : scopes)
            if (auto r = reserve(scope); r.reason != Reason::none) return r;
        for (const auto scope : scopes)
            if (auto r = reserve_rate(scope); r.reason != Reason::none) return r;
        return {};
    }

private:
    using Scope = std::uint64_t;  // types; it concerns the classes that have no other of the choice

    // Unions of what the classes may use: one of them holds every shortage (Hall's condition for
    // the flow from classes to types) as long as they are not too many to try.
    std::vector<Scope> scopes_to_try() const {
        std::set<Scope> unions{present_};
        for (const auto& c : outline_.classes) {
            if (c.fill.size == 0) continue;
            std::vector<Scope> more{c.fill.types & present_};
            for (const auto u : unions) more.push_back(u | more.front());
            if (unions.size() < 256) unions.insert(more.begin(), more.end());
        }
        std::vector<Scope> out(unions.begin(), unions.end());
        std::stable_sort(out.begin(), out.end(), [](Scope a, Scope b) { return std::popcount(a) > std::popcount(b); });
        return out;
    }

    bool concerns(Scope scope, const OutlineClass& c) const {
        return c.fill.size > 0 && (c.fill.types & present_ & ~scope) == 0;
    }

    template <class F>
    std::int64_t over_types(Scope scope, F&& f) const {
        std::int64_t sum = 0;
        for (std::size_t t = 0; t < choice_.size(); ++t)
            if (((scope >> t) & 1U) != 0) sum += choice_[t] * static_cast<std::int64_t>(f(t));
        return sum;
    }

    Ruling ruling(Reason reason, std::int64_t needed, std::int64_t available, Scope scope) const {
        Ruling out{reason, needed, available, {}, bins_of(outline_, choice_)};
        if (scope == present_) return out;
        for (std::size_t c = 0; c < outline_.classes.size(); ++c)
            if (concerns(scope, outline_.classes[c])) out.classes.push_back(c);
        return out;
    }

    // Slots of a chassis.
    Ruling bins_allowed(const Limit& limit) const {
        if (limit.kind != Limit::Kind::bins) return {};
        const auto taken = bins_of(outline_, choice_);
        const auto n = std::count_if(limit.bins.begin(), limit.bins.end(), [&](std::size_t b) {
            return std::binary_search(taken.begin(), taken.end(), b);
        });
        if (n <= limit.most) return {};
        return ruling(Reason::slots, n, limit.most, present_);
    }

    // Licences of the choice within a scope, cut by limits over several bins; `without` is lost.
    std::int64_t licences_available(Scope scope, std::optional<std::size_t> without = {}) const {
        std::vector<std::int64_t> of(model_.bins.size());
        for (std::size_t t = 0; t < choice_.size(); ++t)
            for (int k = 0; ((scope >> t) & 1U) != 0 && k < choice_[t]; ++k) {
                const auto b = outline_.bins[t][static_cast<std::size_t>(k)];
                if (model_.bins[b].tuners > 0 && model_.bins[b].loss_group != without)
                    of[b] = model_.bins[b].licences;
            }
        const std::int64_t all = std::accumulate(of.begin(), of.end(), std::int64_t{0});
        std::int64_t least = all;
        for (const auto& limit : model_.limits) {
            if (limit.kind != Limit::Kind::licences) continue;
            std::int64_t inside = 0;
            for (const auto b : limit.bins) inside += of[b];
            least = std::min(least, all - inside + std::min(inside, limit.most));
        }
        return least;
    }

    std::int64_t demand(Scope scope) const {
        std::int64_t out = 0;
        for (const auto& c : outline_.classes)
            if (concerns(scope, c)) out += c.fill.size;
        return out;
    }

    Ruling licences(Scope scope) const {
        const auto needed = demand(scope);
        const auto available = licences_available(scope);
        if (needed > available) return ruling(Reason::licences, needed, available, scope);
        return {};
    }

    // The fewest bins of the choice that a class needs.
    std::int64_t pieces(const FillClass& c) const {
        std::vector<int> room;
        for (std::size_t t = 0; t < choice_.size(); ++t)
            if (((c.types >> t) & 1U) != 0 && outline_.types[t].tuners > 0)
                room.insert(room.end(), static_cast<std::size_t>(choice_[t]), std::min(c.most, outline_.types[t].licences));
        std::sort(room.rbegin(), room.rend());
        int rest = c.size;
        std::int64_t out = 0;
        for (const int n : room) {
            if (rest <= 0) break;
            rest -= n;
            ++out;
        }
        return rest > 0 ? out + 1 : out;
    }

    Ruling tuners(Scope scope) const {
        std::int64_t needed = 0;
        for (const auto& c : outline_.classes)
            if (concerns(scope, c)) needed += pieces(c.fill);
        const auto available = over_types(scope, [&](std::size_t t) { return outline_.types[t].tuners; });
        if (needed > available) return ruling(Reason::tuners, needed, available, scope);
        return {};
    }

    // Bins with n tuners in all hold no more than the n largest classes. So much for those with many
    // licences to a tuner; the licences of the others can all be used.
    Ruling fill(Scope scope) const {
        std::vector<std::size_t> order;
        for (std::size_t t = 0; t < choice_.size(); ++t)
            if (((scope >> t) & 1U) != 0 && choice_[t] > 0 && outline_.types[t].tuners > 0) order.push_back(t);
        std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
            return outline_.types[a].licences * outline_.types[b].tuners > outline_.types[b].licences * outline_.types[a].tuners;
        });
        std::vector<std::int64_t> sizes;
        for (const auto& c : outline_.classes)
            if (concerns(scope, c)) sizes.push_back(c.fill.size);
        std::sort(sizes.rbegin(), sizes.rend());
        const auto needed = std::accumulate(sizes.begin(), sizes.end(), std::int64_t{0});
        std::int64_t others = 0, held = 0;
        for (const auto t : order) others += std::int64_t{choice_[t]} * outline_.types[t].licences;
        std::size_t tuners = 0;
        for (const auto t : order) {
            others -= std::int64_t{choice_[t]} * outline_.types[t].licences;
            const auto more = static_cast<std::size_t>(choice_[t]) * static_cast<std::size_t>(outline_.types[t].tuners);
            for (std::size_t n = tuners; n < std::min(tuners + more, sizes.size()); ++n) held += sizes[n];
            tuners += more;
            if (held + others < needed) return ruling(Reason::fill, needed, held + others, scope);
        }
        return {};
    }

    // What each type's bins can hold of these classes, the types taken one by one.
    Ruling fill_by_pieces(Scope scope) const {
        std::vector<const FillClass*> classes;
        for (const auto& c : outline_.classes)
            if (concerns(scope, c)) classes.push_back(&c.fill);
        std::int64_t held = 0;
        for (std::size_t t = 0; t < choice_.size(); ++t)
            if (((scope >> t) & 1U) != 0) held += most_held(t, classes);
        const auto needed = demand(scope);
        if (held < needed) return ruling(Reason::fill, needed, held, scope);
        return {};
    }

    // Of a bin's T pieces of classes, each is counted as at least `least` and at most the licences that
    // T - 1 of these leave: together never less than what the bin holds. So all bins of the type hold
    // no more than the pieces that count most, as many as there are tuners; whatever `least` is.
    std::int64_t most_held(std::size_t t, const std::vector<const FillClass*>& classes) const {
        const std::int64_t licences = outline_.types[t].licences, tuners = outline_.types[t].tuners, bins = choice_[t];
        if (tuners == 0) return 0;
        const std::int64_t pieces = bins * tuners;
        std::int64_t out = bins * licences;
        for (std::int64_t least = 0; least * tuners <= licences; ++least) {
            const std::int64_t cap = licences - (tuners - 1) * least;
            std::vector<std::int64_t> worth;
            for (const auto* c : classes) {
                if (((c->types >> t) & 1U) == 0) continue;
                const auto largest = std::min<std::int64_t>(cap, c->most);
                for (std::int64_t rest = c->size, n = 0; rest > least && n < bins; rest -= largest, ++n)
                    if (std::min(rest, largest) > least) worth.push_back(std::min(rest, largest) - least);
                    else break;
            }
            std::sort(worth.rbegin(), worth.rend());
            worth.resize(std::min(worth.size(), static_cast<std::size_t>(pieces)));
            out = std::min(out, std::accumulate(worth.begin(), worth.end(), pieces * least));
        }
        return out;
    }

    // Alike bins only: a forest of T classes and K bins with p trees has T + K - p edges. A tree of
    // k bins holds a multiple of the sizes' common divisor, so it wastes licences; and all trees
    // together may waste no more than there are to spare.
    Ruling splits() const {
        if (std::popcount(present_) != 1) return {};
        const auto t = static_cast<std::size_t>(std::countr_zero(present_));
        const std::int64_t bins = choice_[t], licences = outline_.types[t].licences;
        std::int64_t classes = 0, divisor = 0, total = 0, largest = 0;
        for (const auto& c : outline_.classes) {
            if (c.fill.size == 0) continue;
            if (c.fill.size != c.fill.most) return {};  // carried twice
            ++classes;
            divisor = std::gcd(divisor, c.fill.size);
            largest = std::max<std::int64_t>(largest, c.fill.size);
            total += c.fill.size;
        }
        if (classes == 0 || bins > 200) return {};
        const auto trees = most_trees(bins, licences, outline_.types[t].tuners, divisor, largest == divisor,
                                      bins * licences - total);
        const std::int64_t needed = classes + bins - trees, available = bins * outline_.types[t].tuners;
        if (trees == 0) return ruling(Reason::splits, available + 1, available, present_);
        if (needed > available) return ruling(Reason::splits, needed, available, present_);
        return {};
    }

    // Most trees that `bins` can be parted into without wasting more than `spare`; 0: not even one.
    static std::int64_t most_trees(std::int64_t bins, std::int64_t licences, std::int64_t tuners,
                                   std::int64_t divisor, bool uniform, std::int64_t spare) {
        constexpr std::int64_t never = INT64_MAX / 4;
        const auto waste = [&](std::int64_t k) {
            std::int64_t sizes = k * licences / divisor;
            if (uniform) sizes = std::min(sizes, k * tuners - k + 1);
            return sizes < 0 ? never : k * licences - sizes * divisor;
        };
        const auto n = static_cast<std::size_t>(bins);
        std::vector<std::int64_t> least(n + 1, never), before;  // waste of the first so many bins
        least[0] = 0;
        std::int64_t best = 0;
        for (std::int64_t trees = 1; trees <= bins; ++trees) {
            before.assign(n + 1, never);
            std::swap(before, least);
            for (std::size_t have = 0; have < n; ++have)
                for (std::size_t k = 1; before[have] < never && have + k <= n; ++k)
                    least[have + k] = std::min(least[have + k], before[have] + waste(static_cast<std::int64_t>(k)));
            if (least[n] <= spare) best = trees;
        }
        return best;
    }

    // The rate that all bins of a scope limit; none where one has no limit, or they limit different ones.
    std::optional<std::size_t> common_layer(Scope scope) const {
        std::optional<std::size_t> layer;
        for (std::size_t t = 0; t < choice_.size(); ++t) {
            if (((scope >> t) & 1U) == 0 || choice_[t] == 0) continue;
            const Bin& bin = model_.bins[outline_.bins[t].front()];
            if (!bin.rate_limit || (layer && *layer != bin.layer)) return {};
            layer = bin.layer;
        }
        return layer;
    }

    Ruling rate(Scope scope) const {
        const auto layer = common_layer(scope);
        if (!layer) return {};
        std::int64_t needed = 0;
        const auto available = over_types(scope, [&](std::size_t t) { return model_.bins[outline_.bins[t].front()].rate_limit.value_or(0); });
        for (const auto& c : outline_.classes)
            if (concerns(scope, c)) needed += c.rate[*layer];
        if (needed > available) return ruling(Reason::rate, needed, available, scope);
        return {};
    }

    // After the loss of group f everything but its unprotected items must fit the others, so f needs
    // at least (demand - licences of the others) unprotected ones; there are only so many for all f.
    Ruling reserve(Scope scope) const {
        std::int64_t needs_room = 0, guarded = 0, unprotected_needed = 0;
        for (const auto& c : outline_.classes) {
            if (!concerns(scope, c)) continue;
            needs_room += c.fill.size;
            guarded += c.protected_items;
        }
        if (guarded == 0) return {};
        std::set<std::size_t> groups;
        for (const auto b : bins_of(outline_, choice_)) groups.insert(model_.bins[b].loss_group);
        for (const auto f : groups) {
            const auto others = licences_available(scope, f);
            if (guarded > others) return ruling(Reason::reserve_licences, guarded, others, scope);
            unprotected_needed += std::max<std::int64_t>(0, needs_room - others);
            if (auto r = tuners_after(f, scope); r.reason != Reason::none) return r;
        }
        const auto unprotected = needs_room - guarded;
        if (unprotected_needed > unprotected)
            return ruling(Reason::reserve_share, unprotected_needed, unprotected, scope);
        return {};
    }

    // After the loss of any group, by what the bins may send: as above.
    Ruling reserve_rate(Scope scope) const {
        std::int64_t available = 0, all = 0, unprotected = 0, unprotected_needed = 0;
        const auto layer = common_layer(scope);
        if (!layer) return {};
        std::map<std::size_t, std::int64_t> of_loss;
        for (std::size_t t = 0; t < choice_.size(); ++t)
            for (int k = 0; ((scope >> t) & 1U) != 0 && k < choice_[t]; ++k) {
                const Bin& bin = model_.bins[outline_.bins[t][static_cast<std::size_t>(k)]];
                available += *bin.rate_limit;
                of_loss[bin.loss_group] += *bin.rate_limit;
            }
        for (const auto& item : model_.items) {
            if (!concerns(scope, outline_.classes[item.item_class])) continue;
            all += item.copies * item.rate[*layer];
            if (!item.is_protected) unprotected += item.copies * item.rate[*layer];
        }
        if (unprotected == all) return {};
        for (const auto& [loss, lost] : of_loss) unprotected_needed += std::max<std::int64_t>(0, all - (available - lost));
        if (unprotected_needed > unprotected)
            return ruling(Reason::reserve_rate, unprotected_needed, unprotected, scope);
        return {};
    }

    // Classes with protected items must be received after the loss of f as well.
    Ruling tuners_after(std::size_t f, Scope scope) const {
        std::int64_t needed = 0, available = 0;
        for (const auto& c : outline_.classes)
            if (concerns(scope, c) && c.protected_items > 0) ++needed;
        for (std::size_t t = 0; t < choice_.size(); ++t)
            for (int k = 0; ((scope >> t) & 1U) != 0 && k < choice_[t]; ++k) {
                const Bin& bin = model_.bins[outline_.bins[t][static_cast<std::size_t>(k)]];
                if (bin.loss_group != f) available += bin.tuners;
            }
        if (needed > available) return ruling(Reason::reserve_tuners, needed, available, scope);
        return {};
    }

    const Model& model_;
    const Outline& outline_;
    const Choice& choice_;
    Scope present_ = 0;
};

}  // namespace

Ruling rule_out(const Model& model, const Outline& outline, const Choice& choice) {
    return Counting(model, outline, choice).run();
}

}  // namespace mastline::packing
