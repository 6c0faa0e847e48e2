// SPDX-License-Identifier: Apache-2.0
// A venue of the lineup room's sections alone, read from TOML text; carriers are given.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "mastline/findings/finding.hpp"
#include "mastline/venue/venue.hpp"

namespace mastline::test {

struct LineupRoom {
    Venue venue;
    Findings findings;

    // Every finding as one line, worst first.
    std::vector<std::string> lines();

    LineupRoom();  // here and below: compiled once, not in every test file
    LineupRoom(LineupRoom&&) noexcept;
    LineupRoom& operator=(LineupRoom&&) noexcept;
    ~LineupRoom();
};

// Carriers "w1" to "w3" are on lane 1 of the feed "west", in dvb-s2.
LineupRoom empty_lineup_room();

// `csv` is a channel list beside the venue file; empty: none.
LineupRoom lineup_room(std::string_view toml, std::string_view csv = {});

}  // namespace mastline::test
