// SPDX-License-Identifier: Apache-2.0
// What a [[channel]], or a row of a channel list, may hold.
#pragma once

#include <array>

#include "mastline/text/table_doc.hpp"

namespace mastline {

inline constexpr std::array<KeyDoc, 12> kChannelKeys{{
    {"number", "channel number", true, "What viewers press: 101, or \"5.1\" with a sub-channel; unique."},
    {"name", "text", true, "Name in the lineup."},
    {"class", "one of: radio, SD, HD, UHD", false, "Picture class; default HD."},
    {"genre", "text", false, "Tag in your own words, for sorting, spreading and group ranges."},
    {"service", "name of a service", false, "Its source, if it comes from the roof; this or input."},
    {"input", "name of an input", false, "Its source, if it is made in the house; this or service."},
    {"protected", "true or false", false, "Must survive the loss of a card or chassis; default false."},
    {"apart_from", "list of channel numbers", false, "Channels that must not share its card."},
    {"card", "name of a card", false, "Card that must carry it; default: the planner chooses."},
    {"group", "multicast group", false, "Group that it must have; default: the planner chooses."},
    {"port", "whole number", false, "UDP port that it must have; default: as the addressing says."},
    {"remark", "text", false, "For people; not used."},
}};
inline constexpr TableDoc kChannelTable{
    "[[channel]]", "One channel that viewers tune; also the columns of a channel list in CSV.",
    kChannelKeys};

}  // namespace mastline
