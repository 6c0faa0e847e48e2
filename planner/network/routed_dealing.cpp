// SPDX-License-Identifier: Apache-2.0
#include "planner/network/routed_dealing.hpp"

#include <algorithm>
#include <numeric>

namespace mastline {

namespace {
constexpr std::size_t kNowhere = static_cast<std::size_t>(-1);
}  // namespace

void RoutedDealing::begin(std::size_t callers) {
    callers_ = callers;
    row_.assign(callers, false);
    any_ = false;
    serves_.clear();
    served_.clear();
    displays_.clear();
}

void RoutedDealing::add_pool(std::int64_t displays) {
    if (any_ && displays > 0) {
        serves_.insert(serves_.end(), row_.begin(), row_.end());
        served_.push_back(std::count(row_.begin(), row_.end(), true));
        displays_.push_back(displays);
    }
    row_.assign(callers_, false);
    any_ = false;
}

std::int64_t RoutedDealing::displays() const {
    return std::accumulate(displays_.begin(), displays_.end(), std::int64_t{0});
}

bool RoutedDealing::is_served(std::size_t caller) const {
    for (std::size_t p = 0; p < displays_.size(); ++p)
        if (serves_[p * callers_ + caller]) return true;
    return false;
}

const std::vector<std::int64_t>& RoutedDealing::deal(const Choose& choose) {
    given_.assign(callers_, 0);
    caller_part_.assign(callers_, 0);
    pool_part_.assign(displays_.size(), 0);
    room_.assign(displays_.size(), 0);
    left_.assign(callers_, 0);
    flow_.assign(callers_ * displays_.size(), 0);
    // A part is tried again where another was split off it; that one comes later.
    std::size_t parts = 1;
    for (std::size_t part = 0; part < parts; ++part)
        while (!solve(part, parts, choose)) ++parts;
    return given_;
}

// Deals what a part holds; false where it splits off those that were asked for too much, as `next`.
bool RoutedDealing::solve(std::size_t part, std::size_t next, const Choose& choose) {
    some_.clear();
    pools_.clear();
    std::int64_t displays = 0;
    for (std::size_t p = 0; p < displays_.size(); ++p)
        if (pool_part_[p] == part) pools_.push_back(p), displays += displays_[p];
    // Displays that many callers reach are dealt last, so that few have to be passed along.
    std::stable_sort(pools_.begin(), pools_.end(), [&](std::size_t a, std::size_t b) { return served_[a] < served_[b]; });
    for (std::size_t c = 0; c < callers_; ++c)
        if (caller_part_[c] == part &&
            std::any_of(pools_.begin(), pools_.end(), [&](std::size_t p) { return serves(p, c); }))
            some_.push_back(c);
    if (some_.empty()) return true;
    choose(some_, displays, asked_);
    if (pools_.size() > 1 && find_overdrawn()) {
        for (const auto p : pools_)
            if (std::any_of(some_.begin(), some_.end(), [&](std::size_t c) { return over_[c] && serves(p, c); }))
                pool_part_[p] = next;
        for (const auto c : some_)
            if (over_[c]) caller_part_[c] = next;
        return false;
    }
    for (std::size_t i = 0; i < some_.size(); ++i) given_[some_[i]] = asked_[i];
    return true;
}

// Deals what callers are asked for to the displays of pools: a flow, widened path by path. Marks those
// that together ask for more than their displays.
bool RoutedDealing::find_overdrawn() {
    over_.assign(callers_, false);
    for (const auto p : pools_) room_[p] = displays_[p];
    for (std::size_t i = 0; i < some_.size(); ++i) {
        const auto c = some_[i];
        left_[c] = asked_[i];
        for (const auto p : pools_) {
            const auto dealt = serves(p, c) ? std::min(left_[c], room_[p]) : 0;
            left_[c] -= dealt;
            room_[p] -= dealt;
            flow(c, p) = dealt;
        }
    }
    bool any = false;
    for (const auto c : some_) {
        while (left_[c] > 0 && widen(c)) {}
        if (left_[c] == 0) continue;
        any = true;
        for (const auto other : queue_) over_[other] = true;
    }
    return any;
}

// Breadth first: a caller may take over displays of another if that one finds others.
bool RoutedDealing::widen(std::size_t start) {
    reached_.assign(callers_, kNowhere);
    by_pool_.assign(callers_, kNowhere);
    reached_[start] = start;
    queue_.assign(1, start);
    for (std::size_t at = 0; at < queue_.size(); ++at) {
        const auto c = queue_[at];
        for (const auto p : pools_) {
            if (!serves(p, c)) continue;
            if (room_[p] > 0) {
                pass_along(start, c, p);
                return true;
            }
            for (const auto other : some_) {
                if (flow(other, p) == 0 || reached_[other] != kNowhere) continue;
                reached_[other] = c;
                by_pool_[other] = p;
                queue_.push_back(other);
            }
        }
    }
    return false;
}

void RoutedDealing::pass_along(std::size_t start, std::size_t last, std::size_t pool) {
    std::int64_t width = std::min(left_[start], room_[pool]);
    for (auto c = last; c != start; c = reached_[c]) width = std::min(width, flow(c, by_pool_[c]));
    room_[pool] -= width;
    left_[start] -= width;
    flow(last, pool) += width;
    for (auto c = last; c != start; c = reached_[c]) {
        flow(c, by_pool_[c]) -= width;
        flow(reached_[c], by_pool_[c]) += width;
    }
}

}  // namespace mastline
