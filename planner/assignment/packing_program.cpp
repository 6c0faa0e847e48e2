// SPDX-License-Identifier: Apache-2.0
#include "planner/assignment/packing_program.hpp"

#include <algorithm>
#include <map>
#include <numeric>

#include "planner/assignment/bin_types.hpp"

namespace mastline::packing {

PackingProgram::PackingProgram(const Model& model, const std::vector<std::size_t>& bins, Aim aim, const Received* received)
    : model_(model), bins_(bins), aim_(aim), received_(received), groups_(groups_of(model)) {
    if (chooses_bins()) add_uses();
    add_variables();
    add_homes();
    for (std::size_t b = 0; b < bins_.size(); ++b) add_bin(b);
    for (const auto& limit : model_.limits) add_limit(limit);
    add_apart();
    add_spread();
    if (aim_ == Aim::cheapest) {
        tie_to_uses();
        break_symmetry();
    }
    if (aim_ != Aim::place_most) add_pieces();
    if (model_.reserve && aim_ != Aim::place_most) add_reserve();
}

void PackingProgram::cost_between(std::int64_t least, std::int64_t most) {
    Terms terms;
    for (std::size_t b = 0; b < u_.size(); ++b) terms.emplace_back(u_[b], static_cast<double>(bin(b).cost / unit_));
    program_.row(terms, static_cast<double>((least + unit_ - 1) / unit_), static_cast<double>(most / unit_));
}

double PackingProgram::objective(std::size_t g, std::size_t b) const {
    if (aim_ == Aim::place_most) return -1;
    const auto& previous = sample(g).previous;
    return aim_ == Aim::keep && (previous[0] == bins_[b] || previous[1] == bins_[b]) ? -1 : 0;
}

// Whether a bin is used; where moves count, all of them together weigh less than one.
void PackingProgram::add_uses() {
    double all = 1;
    for (const auto b : bins_) {
        unit_ = std::gcd(unit_, model_.bins[b].cost);
        all += static_cast<double>(model_.bins[b].cost);
    }
    const double one = aim_ == Aim::keep ? all : static_cast<double>(unit_);
    for (const auto b : bins_) u_.push_back(program_.integer(0, 1, static_cast<double>(model_.bins[b].cost) / one));
}

// What the sums over a bin say already when all is whole says more while it is not.
void PackingProgram::tie_to_uses() {
    for (const auto& of_class : z_)
        for (std::size_t b = 0; b < u_.size(); ++b)
            if (of_class[b] >= 0) program_.at_most({{of_class[b], 1}, {u_[b], -1}}, 0);
}

// The fewest bins that a class needs.
void PackingProgram::add_pieces() {
    std::vector<int> size(z_.size()), most(z_.size());
    for (const auto& item : model_.items) size[item.item_class] += item.copies, most[item.item_class] += 1;
    for (std::size_t c = 0; c < z_.size(); ++c) {
        Terms terms;
        int largest = 0;
        for (std::size_t b = 0; b < bins_.size(); ++b)
            if (z_[c][b] >= 0) terms.emplace_back(z_[c][b], -1), largest = std::max(largest, std::min(most[c], bin(b).licences));
        if (largest > 0) program_.at_most(terms, -((size[c] + largest - 1) / largest));
    }
}

// terms <= most, or 0 where the bin is not used.
void PackingProgram::at_most_if_used(std::size_t b, Terms terms, double most) {
    if (u_.empty()) return program_.at_most(terms, most);
    terms.emplace_back(u_[b], -most);
    program_.at_most(terms, 0);
}

void PackingProgram::add_variables() {
    x_.assign(groups_.size(), std::vector<int>(bins_.size(), -1));
    z_.assign(model_.allowed.size(), std::vector<int>(bins_.size(), -1));
    for (std::size_t g = 0; g < groups_.size(); ++g) {
        const auto c = groups_[g].item_class;
        for (std::size_t b = 0; b < bins_.size(); ++b) {
            if (!receives(c, b)) continue;
            const auto& pinned = sample(g).pinned;
            const bool elsewhere = pinned[0] && *pinned[0] != bins_[b];
            if (elsewhere && sample(g).copies == 1) continue;
            const bool here = (pinned[0] == bins_[b] || pinned[1] == bins_[b]) && aim_ != Aim::place_most;
            x_[g][b] = program_.integer(here ? size(g) : 0, size(g), objective(g, b));
            if (z_[c][b] < 0) z_[c][b] = program_.integer(0, 1);
        }
    }
}

bool PackingProgram::receives(std::size_t c, std::size_t b) const {
    return model_.allowed[c][bins_[b]] && (received_ == nullptr || (*received_)[c][b]);
}

bool PackingProgram::has_free_tuner(std::size_t b) const {
    if (received_ == nullptr) return true;
    return std::count_if(received_->begin(), received_->end(), [&](const auto& of_class) { return of_class[b]; }) < bin(b).tuners;
}

PackingProgram::Terms PackingProgram::row_of(std::size_t g) const {
    Terms out;
    for (std::size_t b = 0; b < bins_.size(); ++b)
        if (x_[g][b] >= 0) out.emplace_back(x_[g][b], 1);
    return out;
}

// Every copy has a home; two copies of one item are never lost together.
void PackingProgram::add_homes() {
    for (std::size_t g = 0; g < groups_.size(); ++g) {
        const double copies = size(g) * sample(g).copies;
        if (aim_ == Aim::place_most) program_.at_most(row_of(g), copies);
        else program_.equal(row_of(g), copies);
        if (sample(g).copies == 1) continue;
        std::map<std::size_t, Terms> by_loss;
        for (std::size_t b = 0; b < bins_.size(); ++b)
            if (x_[g][b] >= 0) by_loss[bin(b).loss_group].emplace_back(x_[g][b], 1);
        for (const auto& [loss, terms] : by_loss) program_.at_most(terms, size(g));
    }
}

void PackingProgram::add_bin(std::size_t b) {
    Terms items, tuned, rate;
    std::map<std::size_t, Terms> of_class;
    std::map<std::size_t, double> most;
    for (std::size_t g = 0; g < groups_.size(); ++g) {
        if (x_[g][b] < 0) continue;
        items.emplace_back(x_[g][b], 1);
        rate.emplace_back(x_[g][b], rate_of(g, bin(b).layer));
        of_class[groups_[g].item_class].emplace_back(x_[g][b], 1);
        most[groups_[g].item_class] += size(g);
        program_.at_most({{x_[g][b], 1}, {z_[groups_[g].item_class][b], -size(g)}}, 0);
    }
    for (auto& [c, terms] : of_class) {
        tuned.emplace_back(z_[c][b], 1);
        terms.emplace_back(z_[c][b], -std::min<double>(most[c], bin(b).licences));
        program_.at_most(terms, 0);
    }
    at_most_if_used(b, items, bin(b).licences);
    at_most_if_used(b, tuned, bin(b).tuners);
    if (bin(b).rate_limit) program_.at_most(rate, megabits(*bin(b).rate_limit));
}

std::size_t PackingProgram::position(std::size_t wanted) const {
    return static_cast<std::size_t>(std::find(bins_.begin(), bins_.end(), wanted) - bins_.begin());
}

// What counts toward a limit, with `extra` (re-homed items) added by the reserve.
PackingProgram::Terms PackingProgram::terms_of(const Limit& limit) const {
    Terms out;
    for (const auto wanted : limit.bins) {
        const auto b = position(wanted);
        for (std::size_t g = 0; b < bins_.size() && g < groups_.size(); ++g)
            if (x_[g][b] >= 0)
                out.emplace_back(x_[g][b], limit.kind == Limit::Kind::rate ? rate_of(g, 0) : 1.0);
    }
    return out;
}

double PackingProgram::most_of(const Limit& limit) {
    return limit.kind == Limit::Kind::rate ? megabits(limit.most) : static_cast<double>(limit.most);
}

// Limits on the number of bins are settled by the choice of bins, unless the program makes it.
void PackingProgram::add_limit(const Limit& limit) {
    if (limit.kind != Limit::Kind::bins) return program_.at_most(terms_of(limit), most_of(limit));
    Terms terms;
    for (const auto wanted : limit.bins)
        if (const auto b = position(wanted); b < u_.size()) terms.emplace_back(u_[b], 1);
    if (!terms.empty()) program_.at_most(terms, most_of(limit));
}

void PackingProgram::add_apart() {
    std::map<std::size_t, std::size_t> group_of;
    for (std::size_t g = 0; g < groups_.size(); ++g)
        for (const auto i : groups_[g].items) group_of[i] = g;
    for (const auto& [a, c] : model_.apart) apart_.push_back({group_of[a], group_of[c]});
    for (const auto& [a, c] : apart_)
        for (std::size_t b = 0; b < bins_.size(); ++b)
            if (x_[a][b] >= 0 && x_[c][b] >= 0) program_.at_most({{x_[a][b], 1}, {x_[c][b], 1}}, 1);
}

void PackingProgram::add_spread() {
    std::map<std::size_t, double> total;
    std::map<std::pair<std::size_t, std::size_t>, Terms> in_bin;
    for (std::size_t g = 0; g < groups_.size(); ++g) {
        if (!sample(g).genre) continue;
        total[*sample(g).genre] += size(g);
        for (std::size_t b = 0; b < bins_.size(); ++b)
            if (x_[g][b] >= 0) in_bin[{*sample(g).genre, b}].emplace_back(x_[g][b], 1);
    }
    for (const auto& [at, terms] : in_bin)
        if (total[at.first] > 1) program_.at_most(terms, total[at.first] - 1);
}

// Of bins that are alike, the fuller comes first.
void PackingProgram::break_symmetry() {
    for (const auto& type : bin_types(model_)) {
        std::vector<std::size_t> here;
        for (const auto wanted : type)
            if (position(wanted) < bins_.size()) here.push_back(position(wanted));
        for (std::size_t k = 1; k < here.size(); ++k) {
            program_.at_most({{u_[here[k]], 1}, {u_[here[k - 1]], -1}}, 0);
            Terms terms;
            for (std::size_t g = 0; g < groups_.size(); ++g)
                if (x_[g][here[k]] >= 0) {
                    terms.emplace_back(x_[g][here[k]], 1);
                    terms.emplace_back(x_[g][here[k - 1]], -1);
                }
            program_.at_most(terms, 0);
        }
    }
}

}  // namespace mastline::packing
