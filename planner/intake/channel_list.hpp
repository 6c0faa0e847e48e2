// SPDX-License-Identifier: Apache-2.0
// A channel list as an engineer is handed it: columns found by the words of their headers.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "mastline/findings/finding.hpp"
#include "mastline/venue/channels.hpp"

namespace mastline {

struct ListedChannel {
    std::optional<ChannelNumber> number;
    std::map<std::string, std::string> keys;  // keys of [[channel]] and their values, as texts
    Place place;
    bool is_faulty = false;  // a cell of it could not be understood: a finding has said so
};

struct ChannelList {
    std::vector<ListedChannel> channels;
    std::vector<std::string> columns;   // "number from 'Ch.'"
    std::vector<std::string> unmapped;  // headers that mean nothing to us
};

// Rows of a CSV text (RFC 4180; comma, semicolon or tab). Headers such as "Ch.", "LCN", "Station",
// "Definition" or "Multicast address" are understood; values are brought to the form of the venue
// file ("1080i" is HD, "5,1" is 5.1, "x" is true). A title above the headers is passed over, and so are further
// copies of a channel in a channel map. What cannot be understood is a finding.
ChannelList read_channel_list(std::string_view csv, const std::string& file, Findings& findings);

}  // namespace mastline
