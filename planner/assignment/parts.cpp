// SPDX-License-Identifier: Apache-2.0
#include "planner/assignment/parts.hpp"

#include <map>
#include <numeric>

namespace mastline::packing {

namespace {

class Union {
public:
    explicit Union(std::size_t n) : parent_(n) { std::iota(parent_.begin(), parent_.end(), std::size_t{0}); }
    std::size_t of(std::size_t i) {
        while (parent_[i] != i) i = parent_[i] = parent_[parent_[i]];
        return i;
    }
    void join(std::size_t a, std::size_t b) { parent_[std::max(of(a), of(b))] = std::min(of(a), of(b)); }

private:
    std::vector<std::size_t> parent_;
};

constexpr std::size_t kNone = static_cast<std::size_t>(-1);

// Each bin's part, and each class's: the part of its bins, or one of its own.
struct Membership {
    std::vector<std::size_t> bin, item_class;
    std::size_t parts = 0;
};

Membership membership(const Model& model) {
    const std::size_t bins = model.bins.size(), classes = model.allowed.size();
    Union joined(bins + classes);
    for (std::size_t c = 0; c < classes; ++c)
        for (std::size_t b = 0; b < bins; ++b)
            if (model.allowed[c][b]) joined.join(b, bins + c);
    for (const auto& limit : model.limits)
        for (const auto b : limit.bins) joined.join(limit.bins.front(), b);
    std::map<std::size_t, std::size_t> lost_with;
    for (std::size_t b = 0; b < bins; ++b) joined.join(b, lost_with.emplace(model.bins[b].loss_group, b).first->second);
    Membership out;
    std::map<std::size_t, std::size_t> number;
    const auto part = [&](std::size_t node) { return number.emplace(joined.of(node), number.size()).first->second; };
    for (std::size_t b = 0; b < bins; ++b) out.bin.push_back(part(b));
    for (std::size_t c = 0; c < classes; ++c) out.item_class.push_back(part(bins + c));
    out.parts = number.size();
    return out;
}

void add_bins(const Model& model, const Membership& in, std::vector<PartModel>& parts, std::vector<std::size_t>& local) {
    for (std::size_t b = 0; b < model.bins.size(); ++b) {
        auto& part = parts[in.bin[b]];
        local.push_back(part.bins.size());
        part.bins.push_back(b);
        part.model.bins.push_back(model.bins[b]);
    }
    for (const auto& limit : model.limits) {
        if (limit.bins.empty()) continue;
        Limit inside = limit;
        for (auto& b : inside.bins) b = local[b];
        parts[in.bin[limit.bins.front()]].model.limits.push_back(std::move(inside));
    }
}

void add_classes(const Model& model, const Membership& in, std::vector<PartModel>& parts, std::vector<std::size_t>& local) {
    for (std::size_t c = 0; c < model.allowed.size(); ++c) {
        auto& part = parts[in.item_class[c]];
        local.push_back(part.classes.size());
        part.classes.push_back(c);
        std::vector<bool> row;
        for (const auto b : part.bins) row.push_back(model.allowed[c][b]);
        part.model.allowed.push_back(std::move(row));
    }
}

// A genre that is in two parts is spread already.
void drop_spread_genres(const Model& model, const Membership& in, std::vector<PartModel>& parts) {
    std::map<std::size_t, std::size_t> part_of;
    std::vector<std::size_t> spread;
    for (const auto& item : model.items)
        if (item.genre) {
            const auto part = in.item_class[item.item_class];
            if (part_of.emplace(*item.genre, part).first->second != part) spread.push_back(*item.genre);
        }
    for (auto& part : parts)
        for (auto& item : part.model.items)
            for (const auto genre : spread)
                if (item.genre == genre) item.genre.reset();
}

}  // namespace

std::vector<PartModel> parts_of(const Model& model) {
    const Membership in = membership(model);
    std::vector<PartModel> parts(in.parts);
    std::vector<std::size_t> bin, item_class, item_of(model.items.size(), kNone);
    add_bins(model, in, parts, bin);
    add_classes(model, in, parts, item_class);
    for (std::size_t i = 0; i < model.items.size(); ++i) {
        auto& part = parts[in.item_class[model.items[i].item_class]];
        Item item = model.items[i];
        const auto inside = [&](std::optional<std::size_t>& b) {
            if (b && in.bin[*b] == in.item_class[item.item_class]) b = bin[*b];
            else b.reset();
        };
        for (std::size_t copy = 0; copy < 2; ++copy) inside(item.pinned[copy]), inside(item.previous[copy]);
        item.item_class = item_class[item.item_class];
        item_of[i] = part.items.size();
        part.items.push_back(i);
        part.model.items.push_back(item);
    }
    for (const auto& [a, b] : model.apart)
        if (in.item_class[model.items[a].item_class] == in.item_class[model.items[b].item_class])
            parts[in.item_class[model.items[a].item_class]].model.apart.push_back({item_of[a], item_of[b]});
    for (auto& part : parts) part.model.reserve = model.reserve;
    drop_spread_genres(model, in, parts);
    std::erase_if(parts, [](const PartModel& p) { return p.items.empty(); });
    return parts;
}

Model with_items(const Model& model, const std::vector<std::size_t>& items) {
    Model out = model;
    out.items.clear();
    out.apart.clear();
    std::map<std::size_t, std::size_t> number;
    for (const auto i : items) {
        number[i] = out.items.size();
        out.items.push_back(model.items[i]);
    }
    for (const auto& [a, b] : model.apart)
        if (number.contains(a) && number.contains(b)) out.apart.push_back({number[a], number[b]});
    return out;
}

}  // namespace mastline::packing
