// SPDX-License-Identifier: Apache-2.0
#include "planner/assignment/bin_load.hpp"

#include <algorithm>
#include <map>

namespace mastline::packing {

BinLoad::BinLoad(const Model& model)
    : model_(model), homes_(model.items.size()), refuge_(model.items.size()), needs_refuge_(model.items.size()),
      loads_(model.bins.size()), limits_of_(model.bins.size()), apart_of_(model.items.size()) {
    std::map<std::size_t, std::size_t> numbers;
    for (const auto& bin : model.bins) loss_.push_back(numbers.try_emplace(bin.loss_group, numbers.size()).first->second);
    losses_ = numbers.size();
    std::int64_t rates = 0;
    std::size_t genres = 0;
    for (std::size_t i = 0; i < model.items.size(); ++i) {
        const auto& item = model.items[i];
        needs_refuge_[i] = model.reserve && item.is_protected && item.copies == 1;
        with_refuges_ = with_refuges_ || needs_refuge_[i];
        without_refuge_ += needs_refuge_[i] ? 1 : 0;
        rates += item.rate[0];
        if (item.genre) genres = std::max(genres, *item.genre + 1);
    }
    usual_rate_ = std::max(1.0, static_cast<double>(rates) / static_cast<double>(std::max<std::size_t>(1, model.items.size())));
    genre_in_.assign(genres, std::vector<int>(model.bins.size()));
    genre_total_.assign(genres, 0);
    for (const auto& item : model.items)
        if (item.genre) ++genre_total_[*item.genre];
    for (std::size_t b = 0; b < loads_.size(); ++b) {
        loads_[b].of_class.assign(model.allowed.size(), 0);
        if (with_refuges_) loads_[b].after.assign(losses_, {0, 0, 0, std::vector<int>(model.allowed.size())});
    }
    for (const auto& limit : model.limits) {
        sums_.push_back({0, std::vector<std::int64_t>(with_refuges_ ? losses_ : 0)});
        if (limit.kind == Limit::Kind::bins) continue;
        for (const auto b : limit.bins) limits_of_[b].push_back(sums_.size() - 1);
    }
    for (const auto& [a, b] : model.apart) apart_of_[a].push_back(b), apart_of_[b].push_back(a);
}

bool BinLoad::may_be_home(std::size_t i, std::size_t copy, std::size_t bin) const {
    const auto& item = model_.items[i];
    if (!model_.allowed[item.item_class][bin] || (item.pinned[copy] && item.pinned[copy] != bin)) return false;
    const auto& other = homes_[i][1 - copy];
    return !other || loss_[*other] != loss_[bin];
}

bool BinLoad::may_be_refuge(std::size_t i, std::size_t bin) const {
    return model_.allowed[model_.items[i].item_class][bin] && loss_[bin] != loss_of(i);
}

bool BinLoad::slots_suffice(const std::vector<std::size_t>& bins) const {
    return std::all_of(model_.limits.begin(), model_.limits.end(), [&](const Limit& l) {
        return l.kind != Limit::Kind::bins || std::count_if(l.bins.begin(), l.bins.end(), [&](std::size_t b) {
            return std::find(bins.begin(), bins.end(), b) != bins.end();
        }) <= l.most;
    });
}

void BinLoad::put(std::size_t i, std::size_t copy, std::size_t bin) {
    if (copy == 0) count_refuge(i, -1);
    count_together(i, -1);
    homes_[i][copy] = bin;
    count(i, bin, 1);
    count_together(i, 1);
    if (copy == 0) count_refuge(i, 1);
}

void BinLoad::take(std::size_t i, std::size_t copy) {
    if (copy == 0) count_refuge(i, -1);
    count_together(i, -1);
    count(i, *homes_[i][copy], -1);
    homes_[i][copy].reset();
    count_together(i, 1);
    if (copy == 0) count_refuge(i, 1);
}

void BinLoad::set_refuge(std::size_t i, const std::optional<std::size_t>& bin) {
    if (refuge_[i] == bin) return;
    count_together(i, -1);
    count_refuge(i, -1);
    without_refuge_ += static_cast<int>(refuge_[i].has_value()) - static_cast<int>(bin.has_value());
    refuge_[i] = bin;
    count_refuge(i, 1);
    count_together(i, 1);
}

BinLoad::Load& BinLoad::touched(std::size_t b) {
    auto& load = loads_[b];
    if (!load.stale) {
        load.stale = true;
        known_ -= load.harm;
        stale_.push_back(b);
    }
    return load;
}

void BinLoad::count(std::size_t i, std::size_t b, int sign) {
    const auto& item = model_.items[i];
    auto& load = touched(b);
    load.items += sign;
    for (std::size_t layer = 0; layer < 2; ++layer) load.rate[layer] += sign * item.rate[layer];
    auto& n = load.of_class[item.item_class];
    const bool was = n > 0;
    n += sign;
    if (was != (n > 0)) {
        load.classes += sign;
        for (auto& influx : load.after)
            if (influx.of_class[item.item_class] > 0) influx.classes -= sign;
    }
    if (item.genre) genre_in_[*item.genre][b] += sign;
    count_limits(i, b, sign);
}

std::int64_t BinLoad::weight(const Limit& limit, std::size_t i) const {
    return limit.kind == Limit::Kind::rate ? model_.items[i].rate[0] : 1;
}

void BinLoad::count_limits(std::size_t i, std::size_t b, int sign) {
    for (const auto l : limits_of_[b]) {
        sums_[l].now += sign * weight(model_.limits[l], i);
        if (with_refuges_) sums_[l].after[loss_[b]] -= sign * weight(model_.limits[l], i);
    }
}

// The loss is that of the home: counted only while there is one.
void BinLoad::count_refuge(std::size_t i, int sign) {
    if (!refuge_[i] || !homes_[i][0]) return;
    const auto& item = model_.items[i];
    const auto b = *refuge_[i];
    auto& load = touched(b);
    auto& influx = load.after[loss_of(i)];
    influx.items += sign;
    influx.rate += sign * item.rate[model_.bins[b].layer];
    auto& n = influx.of_class[item.item_class];
    const bool was = n > 0;
    n += sign;
    if (was != (n > 0) && load.of_class[item.item_class] == 0) influx.classes += sign;
    for (const auto l : limits_of_[b]) sums_[l].after[loss_of(i)] += sign * weight(model_.limits[l], i);
}

void BinLoad::count_together(std::size_t i, int sign) {
    for (const auto j : apart_of_[i]) {
        for (const auto& a : homes_[i])
            for (const auto& b : homes_[j]) together_ += a && a == b ? sign : 0;
        if (!with_refuges_ || !homes_[i][0] || !homes_[j][0]) continue;
        const bool together = loss_of(i) == loss_of(j);
        if (refuge_[i] && (together ? refuge_[j] : homes_[j][0]) == refuge_[i]) together_ += sign;
        if (!together && refuge_[j] && homes_[i][0] == refuge_[j]) together_ += sign;
    }
}

double BinLoad::excess(const Bin& bin, int items, int classes, std::int64_t rate) const {
    double out = std::max(0, items - bin.licences) + std::max(0, classes - bin.tuners);
    if (bin.rate_limit && rate > *bin.rate_limit) out += static_cast<double>(rate - *bin.rate_limit) / usual_rate_;
    return out;
}

double BinLoad::harm_of(std::size_t b) const {
    const auto& bin = model_.bins[b];
    const auto& load = loads_[b];
    const auto rate = load.rate[bin.layer];
    const double now = excess(bin, load.items, load.classes, rate);
    double out = now;
    for (const auto& influx : load.after)
        if (influx.items > 0)
            out += excess(bin, load.items + influx.items, load.classes + influx.classes, rate + influx.rate) - now;
    return out;
}

double BinLoad::harm_of_limits() const {
    double out = 0;
    for (std::size_t l = 0; l < sums_.size(); ++l) {
        const auto& limit = model_.limits[l];
        if (limit.kind == Limit::Kind::bins) continue;
        const double one = limit.kind == Limit::Kind::rate ? usual_rate_ : 1;
        const auto over = [&](std::int64_t sum) { return static_cast<double>(std::max<std::int64_t>(0, sum - limit.most)) / one; };
        out += over(sums_[l].now);
        for (const auto change : sums_[l].after) out += std::max(0.0, over(sums_[l].now + change) - over(sums_[l].now));
    }
    return out;
}

double BinLoad::harm_of_genres() const {
    double out = 0;
    for (std::size_t g = 0; g < genre_in_.size(); ++g)
        if (genre_total_[g] > 1)
            for (const int n : genre_in_[g]) out += std::max(0, n - (genre_total_[g] - 1));
    return out;
}

double BinLoad::harm() {
    for (const auto b : stale_) {
        loads_[b].harm = harm_of(b);
        loads_[b].stale = false;
        known_ += loads_[b].harm;
    }
    stale_.clear();
    return known_ + 2.0 * without_refuge_ + together_ + harm_of_limits() + harm_of_genres();
}

}  // namespace mastline::packing
