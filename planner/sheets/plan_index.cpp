// SPDX-License-Identifier: Apache-2.0
#include "planner/sheets/plan_index.hpp"

namespace mastline {

namespace {

using FlowKey = std::pair<std::string, int>;  // channel number and copy

template <class Map, class Key>
auto find_in(const Map& map, const Key& key) -> decltype(&map.begin()->second) {
    const auto it = map.find(key);
    return it == map.end() ? nullptr : &it->second;
}

}  // namespace

PlanIndex::PlanIndex(const Venue& venue, const Plan& plan) : venue_(&venue), plan_(&plan) {
    for (const auto& level : plan.signal.levels) levels_[level.port].push_back(&level);
    for (std::size_t i = 0; i < venue.runs.size(); ++i) runs_into_[venue.runs[i].to].push_back(i);
    index_names();
    index_carriages();
}

void PlanIndex::index_names() {
    const auto name_all = [&](const auto& parts, const std::string& kind) {
        for (std::size_t i = 0; i < parts.size(); ++i)
            ids_.emplace(parts[i].name, kind + std::to_string(i));
    };
    name_all(venue_->feeds, "feed-");
    name_all(venue_->devices, "dev-");
    name_all(venue_->cards, "card-");
    name_all(venue_->switches, "sw-");
    for (std::size_t i = 0; i < venue_->channels.size(); ++i)
        channel_rows_.emplace(to_text(venue_->channels[i].number), "t-ch-" + std::to_string(i));
    for (std::size_t i = 0; i < venue_->devices.size(); ++i)
        devices_.emplace(venue_->devices[i].name, i);
    for (std::size_t i = 0; i < venue_->card_models.size(); ++i)
        models_.emplace(venue_->card_models[i].name, i);
}

void PlanIndex::index_carriages() {
    std::map<FlowKey, const Expectation*> expected;
    for (const auto& flow : plan_->lineup.flows) expected[{flow.channel, flow.copy}] = &flow;
    std::unordered_map<std::size_t, const CarriageAddress*> addresses, silent;
    for (const auto& carriage : plan_->addressing.carriages) addresses[carriage.home] = &carriage;
    for (const auto& carriage : plan_->addressing.silent) silent[carriage.home] = &carriage;
    std::map<std::size_t, std::vector<std::size_t>> homes;
    for (std::size_t h = 0; h < plan_->assignment.homes.size(); ++h)
        homes[plan_->assignment.homes[h].channel].push_back(h);

    for (std::size_t c = 0; c < venue_->channels.size(); ++c) {
        const Channel& channel = venue_->channels[c];
        const auto* mine = find_in(homes, c);
        if (mine == nullptr) {
            carriages_.push_back({.channel = &channel, .index = c});
            continue;
        }
        for (const std::size_t h : *mine) {
            const ChannelHome& home = plan_->assignment.homes[h];
            const auto* waits = find_in(silent, h);
            const auto* address = waits ? waits : find_in(addresses, h);
            const auto* flow = find_in(expected, FlowKey{to_text(channel.number), waits ? 1 : home.copy});
            carriages_.push_back({&channel, &home, address ? *address : nullptr,
                                  flow ? *flow : nullptr, c, home.copy, waits != nullptr});
        }
    }
}

std::span<const PortLevel* const> PlanIndex::levels(const PortRef& port) const {
    const auto* found = find_in(levels_, port);
    return found ? std::span<const PortLevel* const>(*found) : std::span<const PortLevel* const>();
}

std::span<const std::size_t> PlanIndex::runs_into(const PortRef& port) const {
    const auto* found = find_in(runs_into_, port);
    return found ? std::span<const std::size_t>(*found) : std::span<const std::size_t>();
}

const Device* PlanIndex::device(const std::string& name) const {
    const auto* found = find_in(devices_, name);
    return found ? &venue_->devices[*found] : nullptr;
}

const CardModel* PlanIndex::model_of(const Card& card) const {
    const auto* found = find_in(models_, card.model);
    return found ? &venue_->card_models[*found] : nullptr;
}

std::string PlanIndex::id_of(const std::string& name) const {
    const auto* found = find_in(ids_, name);
    return found ? *found : "";
}

std::string PlanIndex::picture_id(const std::string& name) const {
    const std::string id = id_of(name);
    return id.empty() ? "" : "p-" + id;
}

std::string PlanIndex::row_id(const std::string& name) const {
    const std::string id = id_of(name);
    return id.empty() ? "" : "t-" + id;
}

std::string PlanIndex::channel_row(const std::string& number) const {
    const auto* found = find_in(channel_rows_, number);
    return found ? *found : "";
}

std::optional<Gain> least_margin(std::span<const PortLevel* const> levels) {
    std::optional<Gain> least;
    for (const auto* level : levels)
        if (level->margin && (!least || *level->margin < *least)) least = level->margin;
    return least;
}

Fit fit_of(std::optional<Gain> margin) {
    if (!margin) return Fit::untold;
    if (*margin < Gain::db(0)) return Fit::out;
    return *margin < kNearMargin ? Fit::near : Fit::good;
}

}  // namespace mastline
