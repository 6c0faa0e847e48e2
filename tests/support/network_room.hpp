// SPDX-License-Identifier: Apache-2.0
// A venue of the network room's sections alone, read from TOML text.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "mastline/findings/finding.hpp"
#include "mastline/venue/venue.hpp"

namespace mastline::test {

struct NetworkRoom {
    Venue venue;
    Findings findings;

    // Every finding as one line, worst first.
    std::vector<std::string> lines();
};

// `channels` are there for zones to refer to: "101", "102.1".
NetworkRoom network_room(std::string_view toml, std::vector<ChannelNumber> channels = {});

}  // namespace mastline::test
