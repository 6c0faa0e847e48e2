// SPDX-License-Identifier: Apache-2.0
// What must hold after each loss, where protected items are re-homed.
#include "planner/assignment/packing_program.hpp"

#include <set>

namespace mastline::packing {

void PackingProgram::add_apart_after(std::size_t loss, const std::vector<std::vector<int>>& y) {
    for (const auto& [a, c] : apart_)
        for (std::size_t b = 0; b < bins_.size(); ++b) {
            Terms terms;
            for (const int v : {x_[a][b], x_[c][b], y[a][b], y[c][b]})
                if (v >= 0) terms.emplace_back(v, 1);
            if (bin(b).loss_group != loss && terms.size() > 1) program_.at_most(terms, 1);
        }
}

// Items of a group that are protected and in reserve mode are re-homed after each loss.
void PackingProgram::add_reserve() {
    std::set<std::size_t> losses;
    for (const auto b : bins_) losses.insert(model_.bins[b].loss_group);
    for (const auto loss : losses) add_loss(loss);
}

void PackingProgram::add_loss(std::size_t loss) {
    std::vector<std::vector<int>> y(groups_.size(), std::vector<int>(bins_.size(), -1));
    std::vector<std::vector<int>> w(model_.allowed.size(), std::vector<int>(bins_.size(), -1));
    for (std::size_t g = 0; g < groups_.size(); ++g)
        if (sample(g).is_protected) add_rehomed(g, loss, y, w);
    for (std::size_t b = 0; b < bins_.size(); ++b)
        if (bin(b).loss_group != loss) add_survivor(b, y, w);
    for (const auto& limit : model_.limits)
        if (limit.kind != Limit::Kind::bins) add_limit_after(limit, loss, y);
    add_apart_after(loss, y);
    add_received_after(loss, w);
}

// A class with protected items is received after the loss as well.
void PackingProgram::add_received_after(std::size_t loss, const std::vector<std::vector<int>>& w) {
    std::set<std::size_t> guarded;
    for (const auto& item : model_.items)
        if (item.is_protected) guarded.insert(item.item_class);
    for (const auto c : guarded) {
        Terms terms;
        for (std::size_t b = 0; b < bins_.size(); ++b)
            for (const int v : {z_[c][b], w[c][b]})
                if (v >= 0 && bin(b).loss_group != loss) terms.emplace_back(v, -1);
        program_.at_most(terms, -1);
    }
}

bool PackingProgram::is_lost(std::size_t c, std::size_t loss) const {
    for (std::size_t b = 0; b < bins_.size(); ++b)
        if (bin(b).loss_group == loss && receives(c, b)) return true;
    return false;
}

void PackingProgram::add_rehomed(std::size_t g, std::size_t loss, std::vector<std::vector<int>>& y,
                                 std::vector<std::vector<int>>& w) {
    Terms balance;
    const auto c = groups_[g].item_class;
    if (!is_lost(c, loss)) return;
    for (std::size_t b = 0; b < bins_.size(); ++b) {
        if (!model_.allowed[c][bins_[b]]) continue;
        if (bin(b).loss_group == loss) {
            if (x_[g][b] >= 0) balance.emplace_back(x_[g][b], -1);
            continue;
        }
        if (!receives(c, b) && !has_free_tuner(b)) continue;
        y[g][b] = program_.integer(0, size(g));
        if (w[c][b] < 0) w[c][b] = program_.integer(0, 1);
        balance.emplace_back(y[g][b], 1);
        Terms tuned{{y[g][b], 1}, {w[c][b], -size(g)}};
        if (z_[c][b] >= 0) tuned.emplace_back(z_[c][b], -size(g));
        program_.at_most(tuned, 0);
    }
    program_.equal(balance, 0);
}

void PackingProgram::add_survivor(std::size_t b, const std::vector<std::vector<int>>& y,
                                  const std::vector<std::vector<int>>& w) {
    Terms items, tuned, rate;
    for (std::size_t g = 0; g < groups_.size(); ++g)
        for (const int v : {x_[g][b], y[g][b]}) {
            if (v < 0) continue;
            items.emplace_back(v, 1);
            rate.emplace_back(v, rate_of(g, bin(b).layer));
        }
    for (std::size_t c = 0; c < z_.size(); ++c)
        for (const int v : {z_[c][b], w[c][b]})
            if (v >= 0) tuned.emplace_back(v, 1);
    at_most_if_used(b, items, bin(b).licences);
    at_most_if_used(b, tuned, bin(b).tuners);
    if (bin(b).rate_limit) program_.at_most(rate, megabits(*bin(b).rate_limit));
}

void PackingProgram::add_limit_after(const Limit& limit, std::size_t loss, const std::vector<std::vector<int>>& y) {
    Terms terms;
    for (const auto wanted : limit.bins) {
        const auto b = position(wanted);
        if (b == bins_.size() || bin(b).loss_group == loss) continue;
        for (std::size_t g = 0; g < groups_.size(); ++g)
            for (const int v : {x_[g][b], y[g][b]})
                if (v >= 0) terms.emplace_back(v, limit.kind == Limit::Kind::rate ? rate_of(g, 0) : 1.0);
    }
    program_.at_most(terms, most_of(limit));
}

}  // namespace mastline::packing
