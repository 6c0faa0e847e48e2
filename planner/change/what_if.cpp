// SPDX-License-Identifier: Apache-2.0
#include "mastline/change/what_if.hpp"

#include <algorithm>
#include <map>
#include <set>

#include "mastline/assignment/refuge.hpp"

namespace mastline {

namespace {

std::string lane_name(const LaneRef& lane) { return lane.feed + "/" + std::to_string(lane.lane.value); }

// The parts of the losses, as the ways of the lanes name them.
class Gone {
public:
    Gone(const Venue& venue, const Plan& plan, const std::vector<PartLoss>& losses) : venue_(venue) {
        for (const auto& loss : losses) {
            if (loss.kind != LossKind::supply) {
                parts_.insert(std::string(to_text(loss.kind)) + ":" + loss.name);
                continue;
            }
            for (const auto& supply : plan.signal.power)
                if (supply.device == loss.name)
                    for (const auto& dark : supply.dark) dark_.insert({dark.input, dark.lane});
        }
    }

    bool card(const Card& card) const {
        return parts_.contains("card:" + card.name) || parts_.contains("chassis:" + card.chassis) ||
               parts_.contains("switch:" + switch_of(card));
    }
    bool lane(const PortRef& input, const LaneRef& lane, const std::vector<std::string>& way) const {
        return parts_.contains("lane:" + lane_name(lane)) || dark_.contains({input, lane}) ||
               std::any_of(way.begin(), way.end(), [&](const auto& part) { return parts_.contains(part); });
    }

private:
    const std::string& switch_of(const Card& card) const {
        if (card.attached_to.empty())
            for (const auto& chassis : venue_.chassis)
                if (chassis.name == card.chassis) return chassis.attached_to;
        return card.attached_to;
    }

    const Venue& venue_;
    std::set<std::string> parts_;
    std::set<std::pair<PortRef, LaneRef>> dark_;
};

// Whether a home falls silent.
bool hit(const Venue& venue, const SignalPlan& signal, const Gone& gone, const ChannelHome& home) {
    const auto& card = venue.cards[home.card];
    if (gone.card(card)) return true;
    if (!home.carrier) return false;
    const auto& carrier = venue.carriers[*home.carrier];
    const LaneRef lane{carrier.feed, carrier.lane};
    const PortRef input{card.name, home.input};
    for (const auto& reach : signal.reach)
        for (const auto& reached : reach.lanes)
            if (reach.input == input && reached.lane == lane) return gone.lane(input, lane, reached.parts);
    return gone.lane(input, lane, {});
}

Outage outage_of(const Venue& venue, const Gone& gone) {
    Outage out;
    for (const auto& card : venue.cards) out.card.push_back(gone.card(card));
    out.comes_in = [&gone](const PortRef& input, const ReachedLane& lane) {
        return !gone.lane(input, lane.lane, lane.parts);
    };
    return out;
}

WhatIf what_if(const Venue& venue, const Plan& plan, const RefugeFinder& finder, const std::vector<PartLoss>& losses) {
    const Gone gone(venue, plan, losses);
    std::vector<ChannelHome> running;
    std::map<std::size_t, HitChannel> hit_channels;
    for (const auto& home : plan.assignment.homes) {
        if (hit(venue, plan.signal, gone, home)) hit_channels[home.channel].channel = home.channel;
        else running.push_back(home);
    }
    for (const auto& home : running)
        if (const auto at = hit_channels.find(home.channel); at != hit_channels.end())
            at->second.still_copy = home.copy;

    std::vector<std::size_t> dark;
    for (const auto& [channel, state] : hit_channels)
        if (!state.still_copy) dark.push_back(channel);
    const auto refuges = finder.find(outage_of(venue, gone), running, dark);

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
    return what_if(venue, plan, RefugeFinder(venue, plan.signal), losses);
}

std::vector<WhatIf> what_if_each(const Venue& venue, const Plan& plan, const std::vector<PartLoss>& losses) {
    const RefugeFinder finder(venue, plan.signal);
    std::vector<WhatIf> out;
    for (const auto& loss : losses) out.push_back(what_if(venue, plan, finder, {loss}));
    return out;
}

}  // namespace mastline
