// SPDX-License-Identifier: Apache-2.0
#include "planner/assignment/reception.hpp"

#include <map>
#include <tuple>

#include "planner/assignment/bin_types.hpp"

namespace mastline::packing {

namespace {

std::vector<ReceivedClass> classes_to_receive(const Model& model, const std::vector<std::size_t>& bins) {
    std::vector<ReceivedClass> all(model.allowed.size());
    for (const auto& item : model.items) {
        ++all[item.item_class].items;
        all[item.item_class].guarded += item.is_protected;
    }
    std::vector<ReceivedClass> out;
    for (std::size_t c = 0; c < all.size(); ++c) {
        if (all[c].items == 0) continue;
        int most = 0;
        for (const auto b : bins) {
            all[c].allowed.push_back(model.allowed[c][b]);
            if (model.allowed[c][b] && model.bins[b].tuners > 0) most = std::max(most, model.bins[b].licences);
        }
        all[c].number = c;
        all[c].least_bins = most > 0 ? (all[c].items + most - 1) / most : static_cast<int>(bins.size()) + 1;
        out.push_back(std::move(all[c]));
    }
    std::stable_sort(out.begin(), out.end(), [](const auto& x, const auto& y) {
        return std::tuple(-x.items, -x.guarded, x.allowed) < std::tuple(-y.items, -y.guarded, y.allowed);
    });
    std::map<std::pair<int, std::vector<bool>>, std::size_t> refuges;
    for (auto& c : out)
        if (c.guarded > 0) c.refuge = refuges.try_emplace({c.guarded, c.allowed}, refuges.size() + 1).first->second;
    return out;
}

// As the counts see them: what is lost with a bin is told apart elsewhere.
std::vector<std::int64_t> traits_of(const Bin& bin, std::size_t b, const std::vector<ReceivedClass>& classes) {
    std::vector<std::int64_t> out{bin.licences, bin.tuners};
    for (const auto& c : classes) out.push_back(c.allowed[b]);
    return out;
}

std::vector<std::size_t> type_numbers(const Model& model) {
    std::vector<std::size_t> out(model.bins.size());
    const auto types = bin_types(model);
    for (std::size_t t = 0; t < types.size(); ++t)
        for (const auto b : types[t]) out[b] = t;
    return out;
}

void append(std::string& out, std::size_t n) {
    for (; n >= 128; n /= 128) out += static_cast<char>(n % 128 + 128);
    out += static_cast<char>(n);
}

}  // namespace

Reception::Reception(const Model& model, const std::vector<std::size_t>& bins, bool by_count)
    : classes_of_model_(model.allowed.size()), by_count_(by_count), classes_(classes_to_receive(model, bins)) {
    std::map<std::vector<std::int64_t>, std::size_t> kinds;
    std::map<std::size_t, std::size_t> losses;
    const auto types = type_numbers(model);
    for (std::size_t k = 0; k < bins.size(); ++k) {
        const Bin& bin = model.bins[bins[k]];
        ReceivingBin out;
        out.licences = bin.licences;
        out.tuners = bin.tuners;
        out.kind = by_count ? kinds.try_emplace(traits_of(bin, k, classes_), kinds.size()).first->second : types[bins[k]];
        out.loss = losses.try_emplace(bin.loss_group, losses.size()).first->second;
        bins_.push_back(std::move(out));
    }
    losses_ = losses.size();
    lost_together_.resize(losses_);
    for (std::size_t b = 0; b < bins_.size(); ++b) lost_together_[bins_[b].loss].push_back(b);
}

bool Reception::takes_whole(std::size_t c, std::size_t b) const {
    return classes_[c].allowed[b] && bins_[b].free_tuners() > 0 && classes_[c].items <= bins_[b].room();
}

bool Reception::takes_part(std::size_t c, std::size_t b) const {
    return classes_[c].allowed[b] && bins_[b].free_tuners() > 0;
}

void Reception::put_whole(std::size_t c, std::size_t b) {
    bins_[b].whole.push_back(c);
    bins_[b].held += classes_[c].items;
}

void Reception::take_whole(std::size_t c, std::size_t b) {
    bins_[b].whole.pop_back();
    bins_[b].held -= classes_[c].items;
}

// Of whole classes counts see how many items they are together, and what each asks for after a loss.
std::string Reception::content(std::size_t b) const {
    const auto& bin = bins_[b];
    std::string out;
    append(out, bin.kind);
    append(out, bin.whole.size());
    std::vector<std::size_t> whole = bin.whole;
    if (by_count_) {
        append(out, static_cast<std::size_t>(bin.held));
        for (auto& c : whole) c = classes_[c].refuge;
    }
    std::sort(whole.begin(), whole.end());
    for (const auto n : whole) append(out, n);
    append(out, bin.parts.size());
    for (const auto c : bin.parts) append(out, c);  // in order: classes are decided one after the other
    return out;
}

std::string Reception::likeness(std::size_t b) const {
    std::string out = content(b);
    std::vector<std::string> others;
    for (const auto o : lost_together_[bins_[b].loss])
        if (o != b) others.push_back(content(o));
    std::sort(others.begin(), others.end());
    for (const auto& other : others) out += other;
    return out;
}

std::string Reception::state() const {
    std::vector<std::string> groups;
    for (const auto& together : lost_together_) {
        std::vector<std::string> contents;
        for (const auto b : together) contents.push_back(content(b));
        std::sort(contents.begin(), contents.end());
        groups.emplace_back();
        append(groups.back(), together.size());
        for (const auto& c : contents) groups.back() += c;
    }
    std::sort(groups.begin(), groups.end());
    std::string out;
    append(out, decided_);
    for (const auto& g : groups) out += g;
    return out;
}

std::vector<std::vector<bool>> Reception::received() const {
    std::vector<std::vector<bool>> out(classes_of_model_, std::vector<bool>(bins_.size()));
    for (std::size_t b = 0; b < bins_.size(); ++b) {
        for (const auto c : bins_[b].whole) out[classes_[c].number][b] = true;
        for (const auto c : bins_[b].parts) out[classes_[c].number][b] = true;
    }
    return out;
}

}  // namespace mastline::packing
