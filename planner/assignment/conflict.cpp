// SPDX-License-Identifier: Apache-2.0
#include "planner/assignment/conflict.hpp"

#include <algorithm>
#include <map>
#include <numeric>
#include <tuple>

#include "planner/assignment/parts.hpp"
#include "planner/assignment/work_clock.hpp"

namespace mastline::packing {

namespace {

using Items = std::vector<std::size_t>;

// Fewer channels of a genre can be harder to spread: then leaving one by one proves no smallest set.
bool spreads(const Model& model) {
    return std::any_of(model.items.begin(), model.items.end(), [](const Item& i) { return i.genre.has_value(); });
}

template <class Key>
auto grouped(const Items& items, Key&& key) {
    std::map<decltype(key(std::size_t{0})), Items> out;
    for (const auto i : items) out[key(i)].push_back(i);
    return out;
}

class DeletionFilter {
public:
    DeletionFilter(const Model& model, double seconds) : model_(model), end_(WorkClock::in(seconds)) {}

    Conflict run() {
        Items items(model_.items.size());
        std::iota(items.begin(), items.end(), std::size_t{0});
        if (!cannot_fit(items)) return {};
        for (const auto& [c, of_class] : grouped(items, [&](std::size_t i) { return model_.items[i].item_class; }))
            drop(items, of_class);
        for (const auto& [kind, alike] : grouped(items, [&](std::size_t i) { return kind_of(i); }))
            for (const auto i : alike)
                if (!drop(items, Items{i})) break;  // nor could any other of its kind leave
        return {items, certain_ && !spreads(model_)};
    }

private:
    using Kind = std::tuple<std::size_t, bool, int, PerCopy, std::optional<std::size_t>, std::array<std::int64_t, 2>, std::size_t>;

    Kind kind_of(std::size_t i) const {
        const auto& item = model_.items[i];
        const bool in_pair = std::any_of(model_.apart.begin(), model_.apart.end(), [&](const auto& p) { return p[0] == i || p[1] == i; });
        return {item.item_class, item.is_protected, item.copies, item.pinned, item.genre, item.rate, in_pair ? i + 1 : 0};
    }

    // Whether what stays is still proven not to fit; only then they leave.
    bool drop(Items& items, const Items& leaving) {
        Items rest;
        std::set_difference(items.begin(), items.end(), leaving.begin(), leaving.end(), std::back_inserter(rest));
        if (!cannot_fit(rest)) return false;
        items = std::move(rest);
        return true;
    }

    bool cannot_fit(const Items& items) {
        const double left = WorkClock::seconds_to(end_);
        if (left > 0) {
            const auto solution = solve(with_items(model_, items), {.nodes = 50'000, .seconds = std::min(0.5, left)});
            if (solution.complete()) return false;
            if (solution.proven()) return true;
        }
        certain_ = false;
        return false;
    }

    const Model& model_;
    WorkClock::time_point end_;
    bool certain_ = true;
};

}  // namespace

Conflict conflict_of(const Model& model, double seconds) { return DeletionFilter(model, seconds).run(); }

}  // namespace mastline::packing
