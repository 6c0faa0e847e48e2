// SPDX-License-Identifier: Apache-2.0
// Small lineups for assignment tests: so many channels of each carrier, and cards in TOML.
#pragma once

#include <string>
#include <vector>

#include "mastline/assignment/assign.hpp"
#include "support/lineup_room.hpp"

namespace mastline::test {

// Services "w1-1".. of carriers "w1".., and a channel for each, numbered from 101 in that order.
// `extra` is added to every channel: "protected = true".
inline std::string lineup_text(const std::vector<int>& per_carrier, const std::string& extra = "") {
    std::string out;
    int number = 101;
    for (std::size_t c = 0; c < per_carrier.size(); ++c)
        for (int k = 1; k <= per_carrier[c]; ++k) {
            const std::string carrier = "w" + std::to_string(c + 1);
            const std::string name = carrier + "-" + std::to_string(k);
            out += "[[service]]\nname = '" + name + "'\ncarrier = '" + carrier + "'\nprogram_number = " +
                   std::to_string(k) + "\npmt_pid = 256\nrate = '5 Mbit/s'\n" +
                   "component = [{ pid = 257, kind = 'h264' }]\n[[channel]]\nnumber = " +
                   std::to_string(number++) + "\nname = 'Channel " + name + "'\nservice = '" + name + "'\n" + extra + "\n";
        }
    return out;
}

// A model with one input and so many cards of it, "A1"...
inline std::string cards_text(int licences, int tuners, int cards) {
    std::string out = "[[card_model]]\nname = 'rx'\nkind = 'tuner'\nlicences = " + std::to_string(licences) +
                      "\ntuners = " + std::to_string(tuners) + "\n";
    for (int n = 1; n <= cards; ++n) out += "[[card]]\nname = 'A" + std::to_string(n) + "'\nmodel = 'rx'\n";
    return out;
}

// Lane 1 of "west" reaches "in1" of every card.
inline SignalPlan one_lane_everywhere(const Venue& venue) {
    SignalPlan out;
    for (const auto& card : venue.cards)
        out.reach.push_back({{card.name, "in1"}, {{{"west", {1}}, true, Gain::db(3), {}}}});
    return out;
}

struct AssignedLineup {
    Venue venue;
    SignalPlan signal;
    Assignment assignment;
    std::vector<std::string> lines;

    std::string card_of(std::uint32_t number, int copy = 1) const {
        for (const auto& home : assignment.homes)
            if (venue.channels[home.channel].number.major == number && home.copy == copy)
                return venue.cards[home.card].name;
        return "";
    }
};

inline AssignedLineup assigned(Venue venue, SignalPlan signal, const std::vector<KeptHome>& kept = {}) {
    AssignedLineup out{std::move(venue), std::move(signal), {}, {}};
    Findings findings;
    out.assignment = assign(out.venue, out.signal, kept, findings);
    sort_findings(findings);
    for (const auto& f : findings) out.lines.push_back(to_line(f));
    return out;
}

inline AssignedLineup assigned(const std::string& toml, const std::vector<KeptHome>& kept = {}) {
    auto room = lineup_room(toml);
    for (const auto& line : room.lines()) FAIL(line);
    auto signal = one_lane_everywhere(room.venue);
    return assigned(std::move(room.venue), std::move(signal), kept);
}

// What a plan made from this assignment would be kept by.
inline std::vector<KeptHome> kept_homes(const AssignedLineup& lineup) {
    std::vector<KeptHome> out;
    for (const auto& home : lineup.assignment.homes) {
        const auto& channel = lineup.venue.channels[home.channel];
        out.push_back({channel.number, home.copy, channel.service.empty() ? channel.input : channel.service,
                       lineup.venue.cards[home.card].name, home.encoder_input});
    }
    return out;
}

}  // namespace mastline::test
