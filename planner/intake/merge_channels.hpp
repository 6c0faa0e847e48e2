// SPDX-License-Identifier: Apache-2.0
// A channel list into the [[channel]] tables of a venue file, everything else in the file left as
// it is: comments, order, blank lines.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "planner/intake/channel_list.hpp"

namespace mastline {

// What a listed channel and one in the file must share to be the same.
enum class SameBy : std::uint8_t { number, name, group };

struct MergedChannels {
    std::string text;                  // of the file
    std::vector<std::string> added;    // channels by number: "104"
    std::vector<std::string> changed;  // "104: name, group"
    std::vector<std::string> absent;   // in the file, not in the list; left as they are
    std::size_t unchanged = 0;
    std::vector<std::string> sourceless;  // added ones whose source is still to be filled in
};

// Sources by name: a listed channel without service or input gets the one that bears its name.
struct NamedSource {
    std::string name;  // as viewers or the SDT know it
    std::string key;   // "service" or "input"
    std::string value;
};
void give_sources(ChannelList& list, const std::vector<NamedSource>& sources);

// `toml` is the file's text, empty for a new file. Faults go to `findings`, and then nothing is
// merged.
MergedChannels merge_channels(std::string_view toml, const std::string& file, const ChannelList& list, SameBy same,
                              Findings& findings);

}  // namespace mastline
