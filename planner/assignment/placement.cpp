// SPDX-License-Identifier: Apache-2.0
#include "planner/assignment/placement.hpp"

#include <algorithm>
#include <numeric>

namespace mastline::packing {

Placement::Placement(const Model& model)
    : model_(&model),
      homes_(model.items.size()),
      count_(model.bins.size()),
      classes_(model.bins.size()),
      of_class_(model.bins.size(), std::vector<int>(model.allowed.size())),
      rate_(model.bins.size()),
      in_limit_(model.limits.size()),
      limits_of_(model.bins.size()),
      apart_of_(model.items.size()) {
    for (std::size_t l = 0; l < model.limits.size(); ++l)
        for (const auto bin : model.limits[l].bins) limits_of_[bin].push_back(l);
    for (const auto& [a, b] : model.apart) {
        apart_of_[a].push_back(b);
        apart_of_[b].push_back(a);
    }
    for (const auto& item : model.items) {
        if (!item.genre) continue;
        if (genre_total_.size() <= *item.genre) genre_total_.resize(*item.genre + 1);
        ++genre_total_[*item.genre];
    }
    genre_in_.assign(genre_total_.size(), std::vector<int>(model.bins.size()));
}

bool Placement::within_limits(const Item& item, std::size_t bin) const {
    for (const auto l : limits_of_[bin]) {
        const auto& limit = model_->limits[l];
        const std::int64_t more = limit.kind == Limit::Kind::rate       ? item.rate[0]
                                  : limit.kind == Limit::Kind::licences ? 1
                                  : count_[bin] == 0                    ? 1
                                                                        : 0;
        if (more > 0 && in_limit_[l] + more > limit.most) return false;
    }
    return true;
}

bool Placement::apart_from_others(std::size_t item, std::size_t copy, std::size_t bin) const {
    const auto& other = homes_[item][1 - copy];
    if (other && model_->bins[*other].loss_group == model_->bins[bin].loss_group) return false;
    for (const auto neighbour : apart_of_[item])
        for (const auto& home : homes_[neighbour])
            if (home == bin) return false;
    return true;
}

// A genre of one channel cannot be spread; the rule then says nothing.
bool Placement::spread(const Item& item, std::size_t bin) const {
    if (!item.genre || genre_total_[*item.genre] < 2) return true;
    return genre_in_[*item.genre][bin] + 1 < genre_total_[*item.genre];
}

bool Placement::has_room(const Item& item, std::size_t bin) const {
    const auto& to = model_->bins[bin];
    if (!model_->allowed[item.item_class][bin] || count_[bin] >= to.licences) return false;
    if (of_class_[bin][item.item_class] == 0 && classes_[bin] >= to.tuners) return false;
    if (to.rate_limit && rate_[bin][to.layer] + item.rate[to.layer] > *to.rate_limit) return false;
    return within_limits(item, bin);
}

bool Placement::fits(std::size_t i, std::size_t copy, std::size_t bin) const {
    const auto& item = model_->items[i];
    if (item.pinned[copy] && *item.pinned[copy] != bin) return false;
    return has_room(item, bin) && apart_from_others(i, copy, bin) && spread(item, bin);
}

bool Placement::fits_after_loss(std::size_t i, std::size_t bin) const {
    return has_room(model_->items[i], bin) && apart_from_others(i, 0, bin);
}

void Placement::count(std::size_t i, std::size_t bin, int sign) {
    const auto& item = model_->items[i];
    const bool was_empty = count_[bin] == 0;
    auto& same = of_class_[bin][item.item_class];
    if (sign > 0 && same == 0) ++classes_[bin];
    same += sign;
    if (sign < 0 && same == 0) --classes_[bin];
    count_[bin] += sign;
    for (std::size_t layer = 0; layer < 2; ++layer) rate_[bin][layer] += sign * item.rate[layer];
    if (item.genre) genre_in_[*item.genre][bin] += sign;
    for (const auto l : limits_of_[bin]) {
        const auto kind = model_->limits[l].kind;
        if (kind == Limit::Kind::rate) in_limit_[l] += sign * item.rate[0];
        else if (kind == Limit::Kind::licences) in_limit_[l] += sign;
        else if (was_empty != (count_[bin] == 0)) in_limit_[l] += sign;
    }
}

void Placement::put(std::size_t item, std::size_t copy, std::size_t bin) {
    homes_[item][copy] = bin;
    count(item, bin, 1);
}

void Placement::take(std::size_t item, std::size_t copy) {
    count(item, *homes_[item][copy], -1);
    homes_[item][copy].reset();
}

int Placement::pairs() const { return std::accumulate(classes_.begin(), classes_.end(), 0); }

bool Placement::complete() const {
    for (std::size_t i = 0; i < homes_.size(); ++i)
        for (int copy = 0; copy < model_->items[i].copies; ++copy)
            if (!homes_[i][static_cast<std::size_t>(copy)]) return false;
    return true;
}

}  // namespace mastline::packing
