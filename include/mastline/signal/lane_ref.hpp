// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <compare>
#include <string>

#include "mastline/venue/feeds.hpp"

namespace mastline {

// One lane of one feed: the identity of a signal, whatever conductor it travels on.
struct LaneRef {
    std::string feed;
    LaneNumber lane;
    friend auto operator<=>(const LaneRef&, const LaneRef&) = default;
};

// "west/1"
inline std::string to_text(const LaneRef& lane) {
    return lane.feed + "/" + std::to_string(lane.lane.value);
}

}  // namespace mastline
