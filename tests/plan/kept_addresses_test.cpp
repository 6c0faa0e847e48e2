// SPDX-License-Identifier: Apache-2.0
// Changes to a venue, one after the other, each planned on the plan before it and passed on by the
// plan file: what is unchanged stays where it is and as it is addressed.
#include <catch2/catch.hpp>

#include <iostream>
#include <map>
#include <tuple>

#include "mastline/plan/expectations.hpp"
#include "mastline/plan/kept_plan.hpp"
#include "mastline/plan/write_plan.hpp"
#include "mastline/venue/toml_file.hpp"
#include "support/assignment_instances.hpp"
#include "support/demo_plan.hpp"

using namespace mastline;
using test::SeededDice;

namespace {

using CarriageKey = std::pair<ChannelNumber, int>;  // channel, copy

struct Address {
    std::string source;  // what it shows
    std::string card, group, port, sender;
    std::vector<Pid> pids;
};

std::map<CarriageKey, Address> addresses(const Venue& venue, const Plan& plan) {
    std::map<CarriageKey, Address> out;
    for (const auto& carriage : plan.addressing.carriages) {
        const auto& home = plan.assignment.homes[carriage.home];
        const auto& channel = venue.channels[home.channel];
        auto& a = out[{channel.number, home.copy}];
        a.source = channel.service.empty() ? channel.input : channel.service;
        a.card = venue.cards[home.card].name;
        a.group = to_text(carriage.flow.group);
        a.port = std::to_string(carriage.flow.port.number);
        a.sender = carriage.source ? to_text(*carriage.source) : "";
    }
    for (const auto& flow : plan.lineup.flows)
        for (const auto& component : flow.components)
            out[{*parse_channel_number(flow.channel), flow.copy}].pids.push_back(component.pid);
    return out;
}

KeptPlan handed_on(const Venue& venue, const Plan& plan, int day) {
    Findings findings;
    const auto root = read_toml(write_plan(venue, plan), "old.toml", findings);
    REQUIRE(root);
    auto kept = read_kept_plan(*root, findings);
    REQUIRE(kept);
    kept->addresses.today = std::chrono::sys_days(std::chrono::days(20'000 + day));
    return *kept;
}

// The demo without its switches and displays: they have no say in homes and addresses.
Venue demo_without_network() {
    auto venue = sample::demo().venue;
    venue.switches.clear();
    venue.links.clear();
    venue.zones.clear();
    return venue;
}

// Its reserve makes proofs of the number of cards long: most walks are without.
Venue with_reserve(Venue venue, bool wanted) {
    for (auto& channel : venue.channels) channel.is_protected = channel.is_protected && wanted;
    return venue;
}

class Site {
public:
    Site(Venue demo, std::uint64_t seed) : venue(std::move(demo)), dice_(seed) {}

    std::string change() {
        switch (dice_.roll(0, 4)) {
            case 0: return remove_channel();
            case 1: return add_channel();
            case 2: return cut_licences();
            case 3: return give_licences();
            default: return lose_card();
        }
    }

    Venue venue;

private:
    template <class Things>
    std::size_t any(const Things& things) {
        return static_cast<std::size_t>(dice_.roll(0, static_cast<int>(things.size()) - 1));
    }
    std::string remove_channel() {
        const auto i = any(venue.channels);
        aside_.push_back(venue.channels[i]);
        venue.channels.erase(venue.channels.begin() + static_cast<std::ptrdiff_t>(i));
        return "channel " + to_text(aside_.back().number) + " removed";
    }
    // One that was removed, under a number of its own.
    std::string add_channel() {
        if (aside_.empty()) return remove_channel();
        auto channel = aside_.back();
        aside_.pop_back();
        channel.number = {next_number_++, 0};
        venue.channels.push_back(channel);
        return "channel " + to_text(channel.number) + " added";
    }
    std::string cut_licences() {
        auto& card = venue.cards[any(venue.cards)];
        card.licences = std::max(1, card.licences - dice_.roll(1, 3));
        return "licences of " + card.name + " cut to " + std::to_string(card.licences);
    }
    std::string give_licences() {
        auto& card = venue.cards[any(venue.cards)];
        card.licences += dice_.roll(1, 4);
        return "more licences on " + card.name;
    }
    // Two cards at most; then it comes back, as another one.
    std::string lose_card() {
        if (lost_ == 2) return give_licences();
        ++lost_;
        auto& card = venue.cards[any(venue.cards)];
        const auto old = card.name;
        card.name += "-new";
        for (auto& run : venue.runs)
            for (auto* end : {&run.from, &run.to})
                if (end->device == old) end->device = card.name;
        for (auto& other : venue.cards)
            if (other.wired_like == old) other.wired_like = card.name;
        return "card " + old + " lost, " + card.name + " in its place";
    }

    SeededDice dice_;
    std::vector<Channel> aside_;
    std::uint32_t next_number_ = 900;
    int lost_ = 0;
};

// Twenty changes a walk.
void walk_through(std::uint64_t walks, bool reserve) {
    int kept = 0, moved = 0;
    const Venue venue = with_reserve(demo_without_network(), reserve);
    for (std::uint64_t walk = 1; walk <= walks; ++walk) {
        Site site(venue, walk);
        Plan plan = make_plan(site.venue);
        auto before = addresses(site.venue, plan);
        REQUIRE(before.size() >= 60);
        for (int step = 1; step <= 20; ++step) {
            const auto old = handed_on(site.venue, plan, step);
            const auto what = site.change();
            INFO("walk " << walk << ", step " << step << ": " << what);
            plan = make_plan(site.venue, old);
            const auto after = addresses(site.venue, plan);
            std::map<CarriageKey, bool> told;
            for (const auto& move : plan.assignment.moves) told[{site.venue.channels[move.channel].number, move.copy}] = true;
            for (const auto& [key, now] : after) {
                const auto then = before.find(key);
                if (then == before.end() || then->second.source != now.source) continue;
                INFO("channel " << to_text(key.first) << ", copy " << key.second);
                CHECK(now.group == then->second.group);
                CHECK(now.port == then->second.port);
                CHECK(now.pids == then->second.pids);
                CHECK(told.contains(key) == (now.card != then->second.card));
                if (now.card == then->second.card) CHECK(now.sender == then->second.sender);
                ++(now.card == then->second.card ? kept : moved);
            }
            // A group that was freed is not another channel's at once.
            for (const auto& [key, now] : after)
                for (const auto& [other, then] : before)
                    if (key != other) CHECK(now.group != then.group);
            before = after;
        }
    }
    std::cout << walks * 20 << " changes through the whole planner: " << kept << " carriages left as they were, " << moved
              << " moved with the address they had\n";
    CHECK(moved > 0);
}

}  // namespace

TEST_CASE("nothing unchanged changes its address in 40 changes", "[property]") { walk_through(2, false); }

// With the demo's reserve, in minutes: build/release/tests/mastline_tests "[.changes]"
TEST_CASE("nothing unchanged changes its address in 200 changes", "[.changes]") { walk_through(10, true); }
