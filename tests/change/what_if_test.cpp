// SPDX-License-Identifier: Apache-2.0
// Losses of parts: what goes dark, and whether as much as possible finds a place elsewhere.
#include <catch2/catch.hpp>

#include <map>
#include <set>

#include "mastline/change/what_if.hpp"
#include "support/dice.hpp"
#include "support/small_lineup.hpp"

using namespace mastline;
using test::cards_text;
using test::lineup_text;

namespace {

struct Planned {
    Venue venue;
    Plan plan;
};

Planned planned(test::AssignedLineup lineup) {
    Planned out;
    out.venue = std::move(lineup.venue);
    out.plan.signal = std::move(lineup.signal);
    out.plan.assignment = std::move(lineup.assignment);
    return out;
}

Planned planned(const std::string& toml) { return planned(test::assigned(toml)); }

WhatIf without(const Planned& p, LossKind kind, const std::string& name) {
    return what_if(p.venue, p.plan, {{kind, name}});
}

// The most channels that can be carried after a loss, every way tried: a channel is a carrier, a
// card has licences and tuners, and what runs stays.
struct Site {
    std::vector<int> licences, tuners;            // left, by card
    std::vector<std::set<std::size_t>> tuned;     // carriers, by card
};

int most_saved(Site site, const std::vector<std::size_t>& carriers, std::size_t from = 0) {
    if (from == carriers.size()) return 0;
    int best = most_saved(site, carriers, from + 1);
    for (std::size_t c = 0; c < site.licences.size(); ++c) {
        Site next = site;
        const bool fresh = next.tuned[c].insert(carriers[from]).second;
        if (--next.licences[c] < 0 || (fresh && --next.tuners[c] < 0)) continue;
        best = std::max(best, 1 + most_saved(next, carriers, from + 1));
    }
    return best;
}

}  // namespace

TEST_CASE("channels of a lost card go where a tuner and licences are free", "[unit]") {
    // A1 carries 6 channels of w1, A2 4 of w2 and 1 of w3; each could take 8 on 2 tuners.
    const auto p = planned(lineup_text({6, 4, 1}) + cards_text(8, 2, 2));
    std::set<std::string> used;
    for (const auto& home : p.plan.assignment.homes) used.insert(p.venue.cards[home.card].name);
    REQUIRE(used == std::set<std::string>{"A1", "A2"});
    for (const std::string card : {"A1", "A2"}) {
        const auto result = without(p, LossKind::card, card);
        const std::size_t lost = static_cast<std::size_t>(
            std::count_if(p.plan.assignment.homes.begin(), p.plan.assignment.homes.end(),
                          [&](const ChannelHome& h) { return p.venue.cards[h.card].name == card; }));
        CHECK(result.channels.size() == lost);
        CHECK(result.proven);
        for (const auto& c : result.channels)
            if (c.card) CHECK(p.venue.cards[*c.card].name != card);
            else CHECK(c.why.find(" has no free ") != std::string::npos);
    }
}

TEST_CASE("a lost lane darkens its channels everywhere and says what it was", "[unit]") {
    const auto p = planned(lineup_text({2, 1}) + cards_text(8, 2, 2));
    const auto result = without(p, LossKind::lane, "west/1");
    REQUIRE(result.channels.size() == 3);
    CHECK(result.dark() == 3);
    CHECK(result.channels[0].why == "no other card receives carrier w1");
}

TEST_CASE("a lost device darkens only what comes through it, and the other way serves", "[unit]") {
    auto lineup = test::assigned(lineup_text({2}) + cards_text(8, 2, 2));
    const auto home = lineup.assignment.homes.front().card;
    for (auto& reach : lineup.signal.reach)
        reach.lanes[0].parts = {reach.input.device == lineup.venue.cards[home].name ? "device:ms-1" : "device:ms-2"};
    const auto p = planned(std::move(lineup));
    const auto result = without(p, LossKind::device, "ms-1");
    REQUIRE(result.channels.size() == 2);
    CHECK(result.dark() == 0);
    CHECK(result.channels[0].card != home);
    CHECK(result.channels[0].input == "in1");
    CHECK(result.channels[0].idle_card);
    CHECK(without(p, LossKind::device, "ms-2").channels.empty());
}

TEST_CASE("a failed supply darkens the inputs that it feeds", "[unit]") {
    auto lineup = test::assigned(lineup_text({2}) + cards_text(8, 2, 2));
    const auto home = lineup.assignment.homes.front().card;
    auto p = planned(std::move(lineup));
    p.plan.signal.power.resize(1);
    p.plan.signal.power[0].device = "psu-1";
    p.plan.signal.power[0].dark = {{{p.venue.cards[home].name, "in1"}, {"west", {1}}}};
    const auto result = without(p, LossKind::supply, "psu-1");
    REQUIRE(result.channels.size() == 2);
    CHECK(result.channels[0].card != home);
    CHECK(result.dark() == 0);
}

TEST_CASE("a channel carried twice goes on by its other carriage", "[unit]") {
    const auto p = planned("[protection]\nmode = 'twice'\n" + lineup_text({2}, "protected = true") +
                           cards_text(8, 2, 2));
    const auto result = without(p, LossKind::card, "A1");
    REQUIRE(result.channels.size() == 2);
    for (const auto& c : result.channels) CHECK(c.still_copy);
    CHECK(result.dark() == 0);
    CHECK(what_if(p.venue, p.plan, {{LossKind::card, "A1"}, {LossKind::card, "A2"}}).dark() == 2);
}

TEST_CASE("protected channels find a place before the others", "[unit]") {
    auto lineup = test::assigned(lineup_text({3, 3}) + cards_text(4, 2, 2));
    for (std::size_t c = 0; c < lineup.venue.channels.size(); ++c)
        lineup.venue.channels[c].is_protected = c == 2 || c == 5;
    const auto p = planned(std::move(lineup));
    for (const std::string card : {"A1", "A2"}) {
        const auto result = without(p, LossKind::card, card);
        CHECK_FALSE(result.dark_protected(p.venue));
    }
}

TEST_CASE("a part is found by its name, or by kind and name", "[unit]") {
    const std::vector<PartLoss> all{{LossKind::card, "A1"},
                                {LossKind::lane, "west/1"},
                                {LossKind::supply, "psu-1"},
                                {LossKind::chassis, "north"},
                                {LossKind::device, "psu-1"},
                                {LossKind::network_switch, "north"}};
    CHECK(find_loss(all, "A1") == PartLoss{LossKind::card, "A1"});
    CHECK(find_loss(all, "lane:west/1") == PartLoss{LossKind::lane, "west/1"});
    CHECK(find_loss(all, "psu-1") == PartLoss{LossKind::supply, "psu-1"});
    CHECK(find_loss(all, "switch:north") == PartLoss{LossKind::network_switch, "north"});
    CHECK_FALSE(find_loss(all, "north"));
    CHECK_FALSE(find_loss(all, "A9"));
}

TEST_CASE("as many channels are saved as any way could save", "[property]") {
    int compared = 0, dark = 0;
    for (std::uint32_t seed = 1; seed <= 400; ++seed) {
        test::Dice dice(seed);
        const auto roll = [&](std::uint32_t least, std::uint32_t most) {
            return static_cast<int>(least + dice.below(most - least + 1));
        };
        std::vector<int> per_carrier;
        for (int c = roll(2, 3); c > 0; --c) per_carrier.push_back(roll(1, 4));
        const auto toml = lineup_text(per_carrier) + cards_text(roll(3, 6), roll(1, 2), roll(2, 4));
        auto lineup = test::assigned(toml);
        if (!lineup.assignment.unplaced.empty()) continue;
        const auto p = planned(std::move(lineup));
        for (const auto& loss : possible_losses(p.venue, p.plan)) {
            if (loss.kind != LossKind::card) continue;
            Site site;
            std::vector<std::size_t> lost;
            for (std::size_t c = 0; c < p.venue.cards.size(); ++c) {
                const auto& card = p.venue.cards[c];
                const bool gone = card.name == loss.name;
                site.licences.push_back(gone ? 0 : card.licences);
                site.tuners.push_back(gone ? 0 : p.venue.card_models[0].tuners);
                site.tuned.emplace_back();
            }
            for (const auto& home : p.plan.assignment.homes) {
                if (p.venue.cards[home.card].name == loss.name) {
                    lost.push_back(*home.carrier);
                } else {
                    --site.licences[home.card];
                    if (site.tuned[home.card].insert(*home.carrier).second) --site.tuners[home.card];
                }
            }
            const auto result = what_if(p.venue, p.plan, {loss});
            CAPTURE(seed, loss.name);
            REQUIRE(result.proven);
            REQUIRE(result.channels.size() - result.dark() == static_cast<std::size_t>(most_saved(site, lost)));
            ++compared;
            dark += result.dark() > 0;
        }
    }
    CHECK(compared > 300);
    CHECK(dark > 50);
}
