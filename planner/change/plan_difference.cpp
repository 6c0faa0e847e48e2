// SPDX-License-Identifier: Apache-2.0
#include "mastline/change/plan_difference.hpp"

#include <algorithm>
#include <map>
#include <set>
#include <tuple>

namespace mastline {

namespace {

constexpr double kLeastDb = 0.05;
constexpr std::int64_t kLeastBitsPerSecond = 50'000;

// What is in either map and not alike in both: `take(key, was, now)`, null where it is not there.
template <class Key, class State, class Alike, class Take>
void compare(const std::map<Key, State>& was, const std::map<Key, State>& now, const Alike& alike, const Take& take) {
    std::set<Key> keys;
    for (const auto& entry : was) keys.insert(entry.first);
    for (const auto& entry : now) keys.insert(entry.first);
    for (const auto& key : keys) {
        const auto a = was.find(key), b = now.find(key);
        if (a != was.end() && b != now.end() && alike(a->second, b->second)) continue;
        take(key, a == was.end() ? nullptr : &a->second, b == now.end() ? nullptr : &b->second);
    }
}

template <class State>
std::optional<State> state(const State* from) {
    return from == nullptr ? std::nullopt : std::optional(*from);
}

bool near(double a, double b) { return std::abs(a - b) < kLeastDb; }

bool near(const std::optional<Gain>& a, const std::optional<Gain>& b) {
    return a.has_value() == b.has_value() && (!a || near(a->db(), b->db()));
}

using LevelKey = std::tuple<PortRef, LaneRef>;

std::map<LevelKey, LevelState> level_states(const Plan& plan) {
    std::map<LevelKey, LevelState> out;
    for (const auto& level : plan.signal.levels)
        out[{level.port, level.lane}] = {level.low.nominal, level.high.nominal, level.margin};
    return out;
}

std::vector<LevelChange> level_changes(const Plan& was, const Plan& now) {
    std::vector<LevelChange> out;
    const auto alike = [](const LevelState& a, const LevelState& b) {
        return near(a.low.dbm(), b.low.dbm()) && near(a.high.dbm(), b.high.dbm()) && near(a.margin, b.margin);
    };
    compare(level_states(was), level_states(now), alike,
            [&](const LevelKey& key, const LevelState* a, const LevelState* b) {
                LevelChange change;
                change.was = state(a), change.now = state(b);
                std::tie(change.port, change.lane) = key;
                out.push_back(std::move(change));
            });
    const auto margin = [](const LevelChange& c) { return c.now && c.now->margin ? c.now->margin->db() : 1e9; };
    std::stable_sort(out.begin(), out.end(), [&](const auto& a, const auto& b) { return margin(a) < margin(b); });
    return out;
}

using SettingKey = std::tuple<std::string, SettingKind, int>;  // lane 0: all

std::map<SettingKey, SettingState> setting_states(const Venue& venue, const Plan& plan) {
    std::map<SettingKey, SettingState> out;
    for (const auto& line : settings_list(venue, plan.signal))
        out[{line.device, line.kind, line.lane ? line.lane->value : 0}] = {line.value, line.given};
    return out;
}

std::vector<SettingChange> setting_changes(const Venue& was_venue, const Plan& was, const Venue& now_venue, const Plan& now) {
    std::vector<SettingChange> out;
    const auto alike = [](const SettingState& a, const SettingState& b) { return a.given == b.given && near(a.value, b.value); };
    compare(setting_states(was_venue, was), setting_states(now_venue, now), alike,
            [&](const SettingKey& key, const SettingState* a, const SettingState* b) {
                SettingChange change;
                change.was = state(a), change.now = state(b);
                change.device = std::get<0>(key), change.kind = std::get<1>(key);
                if (std::get<2>(key) > 0) change.lane = LaneNumber{std::get<2>(key)};
                out.push_back(std::move(change));
            });
    return out;
}

struct HomeKey {
    ChannelNumber number;
    int copy = 1;
    friend auto operator<=>(const HomeKey&, const HomeKey&) = default;
};

struct NamedHome {
    HomeState state;
    std::string name;
};

std::map<HomeKey, NamedHome> home_states(const Venue& venue, const Plan& plan) {
    std::map<HomeKey, NamedHome> out;
    for (const auto& channel : venue.channels) out[{channel.number, 1}].name = channel.name;
    std::vector<NamedHome*> of_home;
    for (const auto& home : plan.assignment.homes) {
        const auto& channel = venue.channels[home.channel];
        auto& to = out[{channel.number, home.copy}];
        to.name = channel.name;
        to.state.card_input = venue.cards[home.card].name + "." + home.input;
        of_home.push_back(&to);
    }
    for (const auto& carriage : plan.addressing.carriages) of_home[carriage.home]->state.address = to_text(carriage.flow);
    return out;
}

std::vector<ChannelHomeChange> home_changes(const Venue& was_venue, const Plan& was, const Venue& now_venue, const Plan& now) {
    std::vector<ChannelHomeChange> out;
    const auto alike = [](const NamedHome& a, const NamedHome& b) { return a.state == b.state; };
    compare(home_states(was_venue, was), home_states(now_venue, now), alike,
            [&](const HomeKey& key, const NamedHome* a, const NamedHome* b) {
                ChannelHomeChange change;
                if (a != nullptr) change.was = a->state;
                if (b != nullptr) change.now = b->state;
                change.channel = to_text(key.number), change.copy = key.copy;
                change.name = b != nullptr ? b->name : a->name;
                out.push_back(std::move(change));
            });
    return out;
}

using LoadKey = std::tuple<std::string, std::string, std::string>;

std::map<LoadKey, LoadState> load_states(const Plan& plan) {
    std::map<LoadKey, LoadState> out;
    for (const auto& load : plan.network.links)
        out[{load.link, load.from, load.to}] = {load.worst_mix, std::max(load.worst_mix, load.worst_failure), load.limit};
    return out;
}

// Of the limit, in the worst failure.
double fullness(const LoadChange& change) {
    if (!change.now || change.now->limit.bits_per_second() == 0) return 0;
    return static_cast<double>(change.now->worst_failure.bits_per_second()) /
           static_cast<double>(change.now->limit.bits_per_second());
}

std::vector<LoadChange> load_changes(const Plan& was, const Plan& now) {
    std::vector<LoadChange> out;
    const auto close = [](BitRate a, BitRate b) { return std::abs(a.bits_per_second() - b.bits_per_second()) < kLeastBitsPerSecond; };
    const auto alike = [&](const LoadState& a, const LoadState& b) {
        return close(a.worst_mix, b.worst_mix) && close(a.worst_failure, b.worst_failure) && close(a.limit, b.limit);
    };
    compare(load_states(was), load_states(now), alike, [&](const LoadKey& key, const LoadState* a, const LoadState* b) {
        LoadChange change;
        change.was = state(a), change.now = state(b);
        std::tie(change.link, change.from, change.to) = key;
        out.push_back(std::move(change));
    });
    std::stable_sort(out.begin(), out.end(), [](const auto& a, const auto& b) { return fullness(a) > fullness(b); });
    return out;
}

// Those of `these` that `others` lack, wherever in the files they stand.
Findings without(const Findings& these, const Findings& others) {
    const auto key = [](const Finding& f) { return std::tie(f.severity, f.id, f.subject, f.what, f.amount); };
    Findings out;
    for (const auto& finding : these)
        if (std::none_of(others.begin(), others.end(), [&](const Finding& other) { return key(other) == key(finding); }))
            out.push_back(finding);
    return out;
}

std::optional<Gain> least_margin(const Plan& plan) {
    std::optional<Gain> out;
    for (const auto& level : plan.signal.levels)
        if (level.margin && (!out || *level.margin < *out)) out = level.margin;
    return out;
}

std::size_t cards_in_use(const Plan& plan) {
    std::set<std::size_t> cards;
    for (const auto& home : plan.assignment.homes) cards.insert(home.card);
    return cards.size();
}

}  // namespace

PlanDifference plan_difference(const Venue& was_venue, const Plan& was, const Venue& now_venue, const Plan& now) {
    PlanDifference out;
    out.gone = without(was.findings, now.findings);
    out.fresh = without(now.findings, was.findings);
    out.settings = setting_changes(was_venue, was, now_venue, now);
    out.levels = level_changes(was, now);
    out.homes = home_changes(was_venue, was, now_venue, now);
    out.loads = load_changes(was, now);
    out.least_margin = {least_margin(was), least_margin(now)};
    out.cards_in_use = {cards_in_use(was), cards_in_use(now)};
    out.unplaced = {was.assignment.unplaced.size(), now.assignment.unplaced.size()};
    return out;
}

}  // namespace mastline
