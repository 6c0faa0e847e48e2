// SPDX-License-Identifier: Apache-2.0
// Random assignment problems, the same for the same seed on every machine.
#pragma once

#include <algorithm>
#include <cstdint>
#include <vector>

#include "mastline/assignment/model.hpp"

namespace mastline::test {

class SeededDice {
public:
    explicit SeededDice(std::uint64_t seed) : state_(seed * 0x9E3779B97F4A7C15ULL + 0x1234567) {}
    // least to most, both included
    int roll(int least, int most) {
        state_ += 0x9E3779B97F4A7C15ULL;  // splitmix64
        std::uint64_t z = state_;
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9ULL;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EBULL;
        z ^= z >> 31;
        return least + static_cast<int>(z % static_cast<std::uint64_t>(most - least + 1));
    }
    bool chance(int percent) { return roll(1, 100) <= percent; }

private:
    std::uint64_t state_;
};

struct InstanceKind {
    int channels = 40;
    int models = 1;               // kinds of card
    int lanes = 1;                // each card's inputs get some of them
    int protected_percent = 0;
    bool reserve = false;         // else protected ones are carried twice
    int rate_limit_percent = 0;   // of cards
    int spare_cards = 3;          // beyond what the count needs
    bool chassis = false;         // losses are of chassis
};

// What the thousand lineups that are compared with an integer program are like.
inline InstanceKind any_kind(std::uint64_t seed) {
    SeededDice dice(seed * 77 + 5);
    InstanceKind kind;
    kind.channels = dice.roll(10, 150);
    kind.models = dice.roll(1, 3);
    kind.lanes = dice.roll(1, 4);
    const int protection = dice.roll(0, 3);
    kind.protected_percent = protection == 0 ? 0 : dice.roll(5, 50);
    kind.reserve = protection >= 2;
    kind.rate_limit_percent = dice.chance(40) ? 50 : 0;
    kind.chassis = dice.chance(20);
    kind.spare_cards = dice.roll(2, 6);
    return kind;
}

struct CardKind {
    int licences, tuners;
    std::vector<bool> lanes;
    std::optional<std::int64_t> rate_limit;
};

inline CardKind card_kind(SeededDice& dice, const InstanceKind& kind) {
    CardKind out{dice.roll(4, 20), dice.roll(2, 8), {}, {}};
    for (int lane = 0; lane < kind.lanes; ++lane) out.lanes.push_back(dice.chance(65));
    if (std::count(out.lanes.begin(), out.lanes.end(), true) == 0)
        out.lanes[static_cast<std::size_t>(dice.roll(0, kind.lanes - 1))] = true;
    if (dice.chance(kind.rate_limit_percent)) out.rate_limit = out.licences * std::int64_t{dice.roll(60, 110)} * 100'000;
    return out;
}

// Channels of one carrier share its lane; a carrier brings 1 to 12 of them.
inline packing::Model random_instance(std::uint64_t seed, const InstanceKind& kind) {
    SeededDice dice(seed);
    packing::Model model;
    std::vector<int> lane_of;
    while (static_cast<int>(model.items.size()) < kind.channels) {
        const int n = std::min(dice.roll(1, 12), kind.channels - static_cast<int>(model.items.size()));
        lane_of.push_back(dice.roll(0, kind.lanes - 1));
        for (int k = 0; k < n; ++k) {
            packing::Item item;
            item.item_class = lane_of.size() - 1;
            item.rate = {std::int64_t{dice.roll(20, 120)} * 100'000, 0};
            item.rate[1] = item.rate[0] * 1374 / 1316;
            item.is_protected = dice.chance(kind.protected_percent);
            item.copies = item.is_protected && !kind.reserve ? 2 : 1;
            model.items.push_back(item);
        }
    }
    model.reserve = kind.reserve;
    std::vector<CardKind> kinds;
    for (int k = 0; k < kind.models; ++k) kinds.push_back(card_kind(dice, kind));
    kinds[0].lanes.assign(kinds[0].lanes.size(), true);
    int licences = 0, tuners = 0, copies = 0;
    for (const auto& item : model.items) copies += item.copies;
    for (int spare = 0; spare <= kind.spare_cards;) {
        const auto& card = kinds[model.bins.size() % kinds.size()];
        packing::Bin bin;
        bin.licences = card.licences;
        bin.tuners = card.tuners;
        bin.rate_limit = card.rate_limit;
        bin.loss_group = kind.chassis ? model.bins.size() / 2 : model.bins.size();
        model.bins.push_back(bin);
        licences += card.licences;
        tuners += card.tuners;
        if (licences >= copies && tuners >= static_cast<int>(lane_of.size())) ++spare;
    }
    for (const int lane : lane_of) {
        std::vector<bool> row;
        for (std::size_t b = 0; b < model.bins.size(); ++b)
            row.push_back(kinds[b % kinds.size()].lanes[static_cast<std::size_t>(lane)]);
        model.allowed.push_back(std::move(row));
    }
    return model;
}

// Bins that are alike, classes of one size that fill them exactly: the hard family.
inline packing::Model uniform_instance(int classes, int size, int licences, int tuners, int bins) {
    packing::Model model;
    for (int c = 0; c < classes; ++c)
        for (int k = 0; k < size; ++k) {
            packing::Item item;
            item.item_class = static_cast<std::size_t>(c);
            item.rate = {5'000'000, 5'220'000};
            model.items.push_back(item);
        }
    for (int b = 0; b < bins; ++b) {
        packing::Bin bin;
        bin.licences = licences;
        bin.tuners = tuners;
        bin.loss_group = static_cast<std::size_t>(b);
        model.bins.push_back(bin);
    }
    model.allowed.assign(static_cast<std::size_t>(classes), std::vector<bool>(model.bins.size(), true));
    return model;
}

}  // namespace mastline::test
