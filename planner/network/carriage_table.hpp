// SPDX-License-Identifier: Apache-2.0
// The carriages of a plan as the network sees them: where each enters and what it costs on a link.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "mastline/addressing/addressing.hpp"
#include "mastline/assignment/assignment.hpp"
#include "mastline/venue/venue.hpp"

namespace mastline {

using CarriageIndex = std::uint32_t;  // into Addressing::carriages
using SwitchIndex = std::uint32_t;    // into Site::switches

struct NetworkCarriage {
    BitRate plain, tagged;             // on the wire at the peak, FEC included
    BitRate mean_plain, mean_tagged;   // without the null packets that fill it up to the peak
    double frames = 0;                 // per second at the peak, FEC packets included
    int streams = 1;                   // of datagrams: media, FEC by columns and by rows
    std::optional<SwitchIndex> enters; // none: its card is plugged into no switch
    std::size_t card = 0;
    std::size_t channel = 0;
    int copy = 1;
    bool is_protected = false;
    std::optional<std::size_t> standby;  // the card that sends it to the same group once it hears it no more
};

// `enters` says the place in Venue::switches: Site numbers them anew.
std::vector<NetworkCarriage> network_carriages(const Venue& venue, const Assignment& assignment,
                                               const Addressing& addressing);

inline BitRate rate_of(const NetworkCarriage& c, bool tagged) { return tagged ? c.tagged : c.plain; }

}  // namespace mastline
