// SPDX-License-Identifier: Apache-2.0
// Limits on cards to come against a matching of cards and slots by Boost's Edmonds algorithm.
#include <catch2/catch.hpp>

#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/max_cardinality_matching.hpp>

#include "planner/assignment/slot_limits.hpp"
#include "support/assignment_instances.hpp"

using namespace mastline;
using test::SeededDice;

namespace {

CardModel card_model(const std::string& name, mastline::CardKind kind) {
    CardModel out;
    out.name = name;
    out.kind = kind;
    return out;
}

Card card(const std::string& name, bool tuner, int slot, CardState state) {
    Card out;
    out.name = name;
    out.model = tuner ? "rx" : "enc";
    out.chassis = "rack";
    out.slot = slot;
    out.state = state;
    return out;
}

Venue empty_rack(int slots) {
    Venue out;
    out.card_models = {card_model("rx", mastline::CardKind::tuner), card_model("enc", mastline::CardKind::encoder)};
    out.chassis.resize(1);
    out.chassis[0].name = "rack";
    out.chassis[0].slots = slots;
    return out;
}

std::vector<int> some_slots(SeededDice& dice, int slots) {
    std::vector<int> out;
    for (int n = 1; n <= slots; ++n)
        if (dice.chance(60)) out.push_back(n);
    return out;
}

bool takes(const Venue& venue, const Card& card, int slot) {
    const auto& named = card.model == "rx" ? venue.chassis[0].tuner_slots : venue.chassis[0].encoder_slots;
    return (card.slot == 0 || card.slot == slot) && (named.empty() || std::count(named.begin(), named.end(), slot) > 0);
}

// Whether all installed cards and these find a slot each.
bool matched(const Venue& venue, const std::vector<bool>& chosen) {
    using Graph = boost::adjacency_list<boost::vecS, boost::vecS, boost::undirectedS>;
    const auto slots = static_cast<std::size_t>(venue.chassis[0].slots);
    Graph graph(venue.cards.size() + slots);
    std::size_t wanted = 0;
    for (std::size_t c = 0; c < venue.cards.size(); ++c) {
        if (venue.cards[c].state != CardState::installed && !chosen[c]) continue;
        ++wanted;
        for (std::size_t n = 0; n < slots; ++n)
            if (takes(venue, venue.cards[c], static_cast<int>(n) + 1)) boost::add_edge(c, venue.cards.size() + n, graph);
    }
    std::vector<Graph::vertex_descriptor> mate(boost::num_vertices(graph));
    boost::edmonds_maximum_cardinality_matching(graph, mate.data());
    return boost::matching_size(graph, mate.data()) == wanted;
}

bool within(const std::vector<packing::Limit>& limits, const std::vector<bool>& chosen) {
    return std::all_of(limits.begin(), limits.end(), [&](const packing::Limit& l) {
        return std::count_if(l.bins.begin(), l.bins.end(), [&](std::size_t b) { return chosen[b]; }) <= l.most;
    });
}

}  // namespace

TEST_CASE("cards to come are limited exactly as slots for them can be found", "[outside]") {
    int fitting = 0, not_fitting = 0;
    for (std::uint64_t seed = 1; seed <= 200; ++seed) {
        SeededDice dice(seed);
        auto venue = empty_rack(dice.roll(2, 6));
        const int slots = venue.chassis[0].slots;
        venue.chassis[0].tuner_slots = some_slots(dice, slots);
        venue.chassis[0].encoder_slots = some_slots(dice, slots);
        std::vector<int> taken;
        for (int k = dice.roll(2, 7); k > 0; --k) {
            auto c = card("c" + std::to_string(k), dice.chance(50), 0, dice.chance(30) ? CardState::installed : CardState::buy);
            if (dice.chance(40)) c.slot = dice.roll(1, slots);
            const bool used = std::count(taken.begin(), taken.end(), c.slot) > 0;
            if (used || (c.slot > 0 && !takes(venue, c, c.slot))) c.slot = 0;
            if (c.slot > 0 && c.state == CardState::installed) taken.push_back(c.slot);
            venue.cards.push_back(c);
        }
        if (!matched(venue, std::vector<bool>(venue.cards.size()))) continue;  // what is in it is wrong already
        const auto limits = slot_limits(venue, venue.chassis[0]);
        for (std::uint32_t set = 0; set < 1U << venue.cards.size(); ++set) {
            std::vector<bool> chosen;
            for (std::size_t c = 0; c < venue.cards.size(); ++c)
                chosen.push_back(((set >> c) & 1U) != 0 && venue.cards[c].state != CardState::installed);
            INFO("seed " << seed << ", set " << set);
            const bool fits = matched(venue, chosen);
            CHECK(within(limits, chosen) == fits);
            ++(fits ? fitting : not_fitting);
        }
    }
    CHECK(fitting > 1000);
    CHECK(not_fitting > 1000);
}

TEST_CASE("a tuner in a slot that encoders need counts against both", "[unit]") {
    auto venue = empty_rack(3);
    venue.chassis[0].tuner_slots = {1, 2};
    venue.chassis[0].encoder_slots = {2, 3};
    venue.cards = {card("A1", true, 2, CardState::installed), card("E1", false, 0, CardState::buy),
                   card("E2", false, 0, CardState::buy)};
    const auto limits = slot_limits(venue, venue.chassis[0]);
    REQUIRE(limits.size() == 1);
    CHECK(limits[0].bins == std::vector<std::size_t>{1, 2});
    CHECK(limits[0].most == 1);
}
