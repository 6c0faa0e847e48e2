// SPDX-License-Identifier: Apache-2.0
// What the loss of a part takes with it, and where the channels could go.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "mastline/plan/plan.hpp"

namespace mastline {

enum class LossKind : std::uint8_t { card, chassis, lane, supply, device, network_switch };

constexpr std::string_view to_text(LossKind kind) {
    constexpr std::string_view words[] = {"card", "chassis", "lane", "supply", "device", "switch"};
    return words[static_cast<std::size_t>(kind)];
}

// A part that may fail; a lane is named "FEED/NUMBER".
struct PartLoss {
    LossKind kind = LossKind::card;
    std::string name;
    friend auto operator<=>(const PartLoss&, const PartLoss&) = default;
};

inline std::string to_text(const PartLoss& loss) { return std::string(to_text(loss.kind)) + " " + loss.name; }

// A channel of which a carriage falls silent.
struct HitChannel {
    std::size_t channel = 0;          // of the venue
    std::optional<int> still_copy;    // carriage that goes on: displays keep or find the channel
    std::optional<std::size_t> card;  // that can take it; none: dark until the part is back
    std::string input;                // of that card, for a carrier
    bool idle_card = false;           // the card carries nothing now
    std::string why;                  // it stays dark
    bool dark() const { return !still_copy && !card; }
};

struct WhatIf {
    std::vector<PartLoss> losses;
    std::vector<HitChannel> channels;  // in order of number
    bool proven = true;                // no other way saves more

    std::size_t dark() const;
    bool dark_protected(const Venue& venue) const;
};

// Everything whose loss can be asked for: cards that carry something, chassis, lanes, supplies, then
// devices and switches on the way of a channel.
std::vector<PartLoss> possible_losses(const Venue& venue, const Plan& plan);

// "A1", or with its kind where the name alone is not unique: "card:A1". None when there is no such
// part, or more than one.
std::optional<PartLoss> find_loss(const std::vector<PartLoss>& all, std::string_view name);

// All of `losses` at once. Everything that still runs stays where it is.
WhatIf what_if(const Venue& venue, const Plan& plan, const std::vector<PartLoss>& losses);

// Each of `losses` alone.
std::vector<WhatIf> what_if_each(const Venue& venue, const Plan& plan, const std::vector<PartLoss>& losses);

}  // namespace mastline
