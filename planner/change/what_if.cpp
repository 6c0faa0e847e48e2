// SPDX-License-Identifier: Apache-2.0
#include "mastline/change/what_if.hpp"

#include <algorithm>
#include <array>
#include <map>
#include <set>

#include "mastline/assignment/refuge.hpp"

namespace mastline {

namespace {

std::string lane_name(const LaneRef& lane) { return lane.feed + "/" + std::to_string(lane.lane.value); }

const std::string& switch_of(const Venue& venue, const Card& card) {
    if (card.attached_to.empty())
        for (const auto& chassis : venue.chassis)
            if (chassis.name == card.chassis) return chassis.attached_to;
    return card.attached_to;
}

// What cards and channels rest on, as losses name it; the same for every loss.
class Rests {
public:
    Rests(const Venue& venue, const Plan& plan) : finder(venue, plan.signal) {
        for (const auto& card : venue.cards)
            cards_.push_back({"card:" + card.name, "chassis:" + card.chassis, "switch:" + switch_of(venue, card)});
        std::map<std::pair<PortRef, LaneRef>, const std::vector<std::string>*> ways;
        for (const auto& reach : plan.signal.reach)
            for (const auto& reached : reach.lanes) ways.try_emplace({reach.input, reached.lane}, &reached.parts);
        for (const auto& home : plan.assignment.homes) {
            const auto* carrier = home.carrier ? &venue.carriers[*home.carrier] : nullptr;
            const auto way = carrier == nullptr ? ways.end() : ways.find({{venue.cards[home.card].name, home.input}, {carrier->feed, carrier->lane}});
            ways_.push_back(way == ways.end() ? nullptr : way->second);
        }
    }

    const std::array<std::string, 3>& of_card(std::size_t card) const { return cards_[card]; }
    // Of a home of the plan, in its order; null: none is known.
    const std::vector<std::string>* way(std::size_t home) const { return ways_[home]; }

    const RefugeFinder finder;

private:
    std::vector<std::array<std::string, 3>> cards_;
    std::vector<const std::vector<std::string>*> ways_;
};

// The parts of the losses, as the ways of the lanes name them.
class Gone {
public:
    Gone(const Plan& plan, const std::vector<PartLoss>& losses) {
        for (const auto& loss : losses) {
            if (loss.kind != LossKind::supply) {
                parts_.push_back(std::string(to_text(loss.kind)) + ":" + loss.name);
                continue;
            }
            for (const auto& supply : plan.signal.power)
                if (supply.device == loss.name)
                    for (const auto& dark : supply.dark) dark_.insert({dark.input, dark.lane});
        }
    }

    bool any_of(const auto& parts) const { return std::ranges::find_first_of(parts, parts_) != parts.end(); }
    bool lane(const PortRef& input, const LaneRef& lane) const {
        return (!dark_.empty() && dark_.contains({input, lane})) ||
               std::ranges::any_of(parts_, [&](const std::string& part) { return part.starts_with("lane:") && part.substr(5) == lane_name(lane); });
    }

private:
    std::vector<std::string> parts_;  // few
    std::set<std::pair<PortRef, LaneRef>> dark_;
};

// Whether a home of the plan falls silent.
bool hit(const Venue& venue, const Plan& plan, const Rests& rests, const Gone& gone, std::size_t at) {
    const auto& home = plan.assignment.homes[at];
    if (gone.any_of(rests.of_card(home.card))) return true;
    if (!home.carrier) return false;
    const auto& carrier = venue.carriers[*home.carrier];
    const auto* way = rests.way(at);
    return gone.lane({venue.cards[home.card].name, home.input}, {carrier.feed, carrier.lane}) || (way != nullptr && gone.any_of(*way));
}

Outage outage_of(const Venue& venue, const Rests& rests, const Gone& gone) {
    Outage out;
    for (std::size_t card = 0; card < venue.cards.size(); ++card) out.card.push_back(gone.any_of(rests.of_card(card)));
    out.comes_in = [&gone](const PortRef& input, const ReachedLane& lane) { return !gone.lane(input, lane.lane) && !gone.any_of(lane.parts); };
    return out;
}

WhatIf what_if(const Venue& venue, const Plan& plan, const Rests& rests, const std::vector<PartLoss>& losses) {
    const Gone gone(plan, losses);
    std::vector<ChannelHome> running;
    std::map<std::size_t, HitChannel> hit_channels;
    for (std::size_t i = 0; i < plan.assignment.homes.size(); ++i) {
        const auto& home = plan.assignment.homes[i];
        if (hit(venue, plan, rests, gone, i)) hit_channels[home.channel].channel = home.channel;
        else running.push_back(home);
    }
    for (const auto& home : running)
        if (const auto at = hit_channels.find(home.channel); at != hit_channels.end())
            at->second.still_copy = home.copy;

    std::vector<std::size_t> dark;
    for (const auto& [channel, state] : hit_channels)
        if (!state.still_copy) dark.push_back(channel);
    const auto refuges = rests.finder.find(outage_of(venue, rests, gone), running, dark);

    WhatIf out;
    out.losses = losses;
    out.proven = refuges.proven;
    for (const auto& refuge : refuges.channels) {
        auto& state = hit_channels[refuge.channel];
        state.card = refuge.card;
        state.input = refuge.input;
        state.idle_card = refuge.idle_card;
        state.why = refuge.why;
    }
    for (auto& [channel, state] : hit_channels) out.channels.push_back(std::move(state));
    return out;
}

void add_parts(std::vector<PartLoss>& out, const Plan& plan, LossKind kind) {
    const std::string prefix = std::string(to_text(kind)) + ":";
    std::set<std::string> names;
    for (const auto& flow : plan.lineup.flows)
        for (const auto& part : flow.parts)
            if (part.starts_with(prefix)) names.insert(part.substr(prefix.size()));
    for (const auto& name : names) out.push_back({kind, name});
}

}  // namespace

std::size_t WhatIf::dark() const {
    return static_cast<std::size_t>(std::count_if(channels.begin(), channels.end(),
                                                  [](const HitChannel& c) { return c.dark(); }));
}

bool WhatIf::dark_protected(const Venue& venue) const {
    return std::any_of(channels.begin(), channels.end(), [&](const HitChannel& c) {
        return c.dark() && venue.channels[c.channel].is_protected;
    });
}

std::vector<PartLoss> possible_losses(const Venue& venue, const Plan& plan) {
    std::vector<PartLoss> out;
    for (std::size_t c = 0; c < venue.cards.size(); ++c)
        if (std::any_of(plan.assignment.homes.begin(), plan.assignment.homes.end(),
                        [&](const ChannelHome& home) { return home.card == c; }))
            out.push_back({LossKind::card, venue.cards[c].name});
    add_parts(out, plan, LossKind::chassis);
    add_parts(out, plan, LossKind::lane);
    for (const auto& supply : plan.signal.power) out.push_back({LossKind::supply, supply.device});
    add_parts(out, plan, LossKind::device);
    add_parts(out, plan, LossKind::network_switch);
    return out;
}

std::optional<PartLoss> find_loss(const std::vector<PartLoss>& all, std::string_view name) {
    std::optional<PartLoss> found;
    for (const auto& loss : all) {
        const std::string whole = std::string(to_text(loss.kind)) + ":" + loss.name;
        if (whole == name) return loss;
        if (loss.name != name) continue;
        // A supply is a device as well: with the supply gone more is dark than with its port alone.
        if (found && found->kind == LossKind::supply && loss.kind == LossKind::device) continue;
        if (found) return std::nullopt;
        found = loss;
    }
    return found;
}

WhatIf what_if(const Venue& venue, const Plan& plan, const std::vector<PartLoss>& losses) {
    return what_if(venue, plan, Rests(venue, plan), losses);
}

std::vector<WhatIf> what_if_each(const Venue& venue, const Plan& plan, const std::vector<PartLoss>& losses) {
    const Rests rests(venue, plan);
    std::vector<WhatIf> out;
    for (const auto& loss : losses) out.push_back(what_if(venue, plan, rests, {loss}));
    return out;
}

}  // namespace mastline
