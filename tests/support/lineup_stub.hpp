// SPDX-License-Identifier: Apache-2.0
// Channels on one card, for tests of the network room.
#pragma once

#include <utility>
#include <vector>

#include "mastline/assignment/assignment.hpp"
#include "mastline/venue/venue.hpp"

namespace mastline::test {

struct Lineup {
    Venue venue;
    Assignment assignment;
    Findings findings;
};

// One house input, channel and home per number, all on card "A1".
inline Lineup lineup(const std::vector<ChannelNumber>& numbers,
                     BitRate rate = megabits_per_second(8)) {
    Lineup out;
    out.venue.cards.push_back({.name = "A1"});
    for (const auto number : numbers) {
        const auto i = out.venue.channels.size();
        HouseInput input;
        input.name = "input " + to_text(number);
        input.programme.rate = rate;
        out.venue.inputs.push_back(input);
        Channel channel;
        channel.number = number;
        channel.name = "Channel " + to_text(number);
        channel.input = input.name;
        out.venue.channels.push_back(channel);
        out.assignment.homes.push_back({.channel = i});
    }
    return out;
}

inline std::vector<ChannelNumber> numbers(std::uint32_t first, std::uint32_t count) {
    std::vector<ChannelNumber> out;
    for (std::uint32_t i = 0; i < count; ++i) out.push_back({first + i, 0});
    return out;
}

// A range of groups as the venue file writes it. REQUIRES: well formed
inline GroupRange range(std::string_view text, std::string tag = "") {
    const auto span = parse_group_span(text);
    return {span->first, span->last, std::move(tag), {}};
}

// REQUIRES: well formed
inline Group group(std::string_view text) { return *parse_group(text); }

inline std::vector<std::string> ids(const Findings& findings) {
    std::vector<std::string> out;
    for (const auto& f : findings) out.push_back(std::string(to_text(f.severity)) + " " + f.id);
    return out;
}

}  // namespace mastline::test
