// SPDX-License-Identifier: Apache-2.0
#include "planner/assignment/slot_limits.hpp"

#include <algorithm>
#include <set>

#include "planner/assignment/lineup_model.hpp"

namespace mastline {

namespace {

using Slots = std::set<int>;

struct Seeker {
    std::size_t card;
    Slots slots;       // any of them will do
    bool is_in = false;  // installed, in a slot that is not told
};

bool includes(const Slots& outer, const Slots& inner) {
    return std::includes(outer.begin(), outer.end(), inner.begin(), inner.end());
}

Slots united(Slots a, const Slots& b) {
    a.insert(b.begin(), b.end());
    return a;
}

Slots free_slots(const Venue& venue, const Chassis& chassis) {
    Slots out;
    for (int n = 1; n <= chassis.slots; ++n) out.insert(out.end(), n);
    for (const auto& card : venue.cards)
        if (card.chassis == chassis.name && card.state == CardState::installed) out.erase(card.slot);
    return out;
}

Slots slots_for(const Card& card, CardKind kind, const Chassis& chassis, const Slots& free) {
    const auto& named = kind == CardKind::tuner ? chassis.tuner_slots : chassis.encoder_slots;
    const Slots of_kind(named.begin(), named.end());
    Slots out;
    for (const int n : free)
        if ((of_kind.empty() || of_kind.contains(n)) && (card.slot == 0 || card.slot == n)) out.insert(n);
    return out;
}

std::vector<Seeker> seekers(const Venue& venue, const Chassis& chassis) {
    const auto free = free_slots(venue, chassis);
    std::vector<Seeker> out;
    for (std::size_t c = 0; c < venue.cards.size(); ++c) {
        const Card& card = venue.cards[c];
        const auto* model = model_of(venue, card);
        const bool is_in = card.state == CardState::installed;
        if (model == nullptr || card.chassis != chassis.name || (is_in && card.slot > 0)) continue;
        out.push_back({c, slots_for(card, model->kind, chassis, free), is_in});
    }
    return out;
}

// Whatever sets of slots cards may have together.
std::set<Slots> unions(const std::vector<Seeker>& seekers) {
    constexpr std::size_t most = 1024;  // ten kinds of cards, as the slots see them
    std::set<Slots> out;
    for (const auto& seeker : seekers) {
        std::set<Slots> more{seeker.slots};
        for (const auto& u : out) more.insert(united(u, seeker.slots));
        if (out.size() + more.size() <= most) out.merge(more);
    }
    return out;
}

}  // namespace

std::vector<packing::Limit> slot_limits(const Venue& venue, const Chassis& chassis) {
    const auto all = seekers(venue, chassis);
    std::vector<packing::Limit> out;
    for (const auto& slots : unions(all)) {
        packing::Limit limit{packing::Limit::Kind::bins, {}, static_cast<std::int64_t>(slots.size())};
        for (const auto& seeker : all) {
            if (!includes(slots, seeker.slots)) continue;
            if (seeker.is_in) --limit.most;
            else limit.bins.push_back(seeker.card);
        }
        limit.most = std::max<std::int64_t>(0, limit.most);
        if (static_cast<std::int64_t>(limit.bins.size()) > limit.most) out.push_back(std::move(limit));
    }
    return out;
}

}  // namespace mastline
