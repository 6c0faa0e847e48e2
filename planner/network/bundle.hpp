// SPDX-License-Identifier: Apache-2.0
// A bundle deals whole flows to its members: its fullest member decides, not the sum.
#pragma once

#include <functional>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "mastline/addressing/addressing.hpp"
#include "mastline/network/network_load.hpp"
#include "planner/network/carriage_set.hpp"
#include "planner/network/site.hpp"

namespace mastline {

struct MemberLoad {
    BitRate fullest;
    std::string rule;    // how it was found
    bool exact = false;  // else it is exceeded by 1 in 100 random dealings
};

// The worst mix where nothing but these can be chosen; they come heaviest first.
using MixAmong = std::function<std::vector<CarriageIndex>(const std::vector<CarriageIndex>&)>;

// At most `choices` at once, and those of `always` besides, which must outlive it.
MixAmong mix_of_choices(const JoinCounts& always, std::int64_t choices);

// The worst mixes that were dealt at random already.
using MixesDrawn = std::set<std::vector<CarriageIndex>>;

// `flows` are the carriages that can flow, heaviest first; `members` those that are left of the bundle.
MemberLoad fullest_member(const Site& site, const Addressing& addressing, LinkIndex link, int members,
                          const std::vector<CarriageIndex>& flows, const MixAmong& mix_among);

// None where it is surely not above `least`, or where the same mix was drawn before.
std::optional<MemberLoad> fuller_member(const Site& site, const Addressing& addressing, LinkIndex link, int members,
                                        const std::vector<CarriageIndex>& flows, const MixAmong& mix_among,
                                        BitRate least, MixesDrawn& drawn);

// Fills what `load` says of the members while nothing or one of them has failed, where that is more
// than it says already. REQUIRES: it has several
void fill_members(const Site& site, const Addressing& addressing, LinkIndex link,
                  const std::vector<CarriageIndex>& flows, const MixAmong& mix_among, LinkLoad& load);

// Both addresses, exclusive-or, folded to eight bits (IPv4), modulo the members.
std::uint32_t address_hash(const IpAddress& source, const IpAddress& group, int members);

}  // namespace mastline
