// SPDX-License-Identifier: Apache-2.0
// Cross-references within the network room, once all files are read.
#include <algorithm>
#include <map>
#include <numeric>
#include <set>
#include <string>
#include <unordered_map>
#include <vector>

#include "mastline/text/did_you_mean.hpp"
#include "mastline/venue/section.hpp"
#include "mastline/venue/venue.hpp"
#include "planner/venue/file_fault.hpp"

namespace mastline {

namespace {

using SwitchIndex = std::unordered_map<std::string, std::size_t>;

template <class Parts>
void check_names(const Parts& parts, const std::string& noun, Findings& findings) {
    std::unordered_map<std::string, const Place*> first;
    for (const auto& part : parts) {
        const auto [at, is_new] = first.emplace(part.name, &part.place);
        if (!is_new)
            fault(findings, "network.name-twice", part.place,
                  "second " + noun + " named '" + part.name + "'",
                  "the first is at " + to_text(*at->second) + "; give each its own name");
    }
}

bool check_switch(const std::string& name, const Place& place, const Venue& venue,
                  const SwitchIndex& index, Findings& findings) {
    if (index.contains(name)) return true;
    std::vector<std::string_view> known;
    for (const auto& s : venue.switches) known.push_back(s.name);
    fault(findings, "network.unknown-switch", place, "unknown switch '" + name + "'",
          suggestion(name, known));
    return false;
}

void check_channels(const std::vector<ChannelRef>& refs, const std::set<std::string>& known,
                    Findings& findings) {
    for (const auto& ref : refs) {
        if (known.contains(ref.number)) continue;
        fault(findings, "network.unknown-channel", ref.place,
              "no channel has the number '" + ref.number + "'", suggestion(ref.number, known));
    }
}

void check_zones(const Venue& venue, const SwitchIndex& index, Findings& findings) {
    std::set<std::string> numbers;
    for (const auto& c : venue.channels) numbers.insert(to_text(c.number));
    for (const auto& zone : venue.zones) {
        check_switch(zone.attached_to, zone.attached_place, venue, index, findings);
        check_channels(zone.defaults, numbers, findings);
        check_channels(zone.recorded, numbers, findings);
    }
    for (const auto& card : venue.cards)
        if (!card.attached_to.empty())
            check_switch(card.attached_to, card.place, venue, index, findings);
}

// The pieces that links join the switches into, by the lowest index in each.
class Pieces {
public:
    explicit Pieces(std::size_t count) : parent_(count) {
        std::iota(parent_.begin(), parent_.end(), std::size_t{0});
    }
    std::size_t of(std::size_t i) {
        while (parent_[i] != i) i = parent_[i] = parent_[parent_[i]];
        return i;
    }
    void join(std::size_t a, std::size_t b) {
        a = of(a), b = of(b);
        parent_[std::max(a, b)] = std::min(a, b);
    }

private:
    std::vector<std::size_t> parent_;
};

std::string some_names(const std::vector<std::size_t>& members, const Venue& venue) {
    std::string out;
    for (std::size_t i = 0; i < members.size() && i < 3; ++i)
        out += (i > 0 ? ", '" : "'") + venue.switches[members[i]].name + "'";
    if (members.size() > 3) out += " and " + std::to_string(members.size() - 3) + " more";
    return out;
}

void check_links(const Venue& venue, const SwitchIndex& index, Findings& findings) {
    Pieces pieces(venue.switches.size());
    for (const auto& link : venue.links) {
        const bool from = check_switch(link.from, link.from_place, venue, index, findings);
        const bool to = check_switch(link.to, link.to_place, venue, index, findings);
        if (from && to && link.from == link.to)
            fault(findings, "network.link-to-itself", link.to_place,
                  "link '" + link.name + "' leads from switch '" + link.from + "' to itself",
                  "name the switch at its other end");
        else if (from && to)
            pieces.join(index.at(link.from), index.at(link.to));
    }
    std::map<std::size_t, std::vector<std::size_t>> members;
    for (std::size_t i = 0; i < venue.switches.size(); ++i)
        if (index.at(venue.switches[i].name) == i) members[pieces.of(i)].push_back(i);  // a second one is told of
    for (const auto& [first, piece] : members)
        if (first != 0)
            fault(findings, "network.in-pieces", venue.switches[first].place,
                  "no chain of links joins " + some_names(piece, venue) + " to '" +
                      venue.switches[0].name + "'",
                  "add the missing [[link]]");
}

// IEEE 802.1D: the address of a bridge is its own, so that no two have one identifier.
void check_bridge_addresses(const Venue& venue, Findings& findings) {
    std::map<MacAddress, const Switch*> by_mac;
    for (const auto& s : venue.switches) {
        if (!s.mac) continue;
        if ((s.mac->bytes[0] & 1) != 0)  // the first bit on the wire
            fault(findings, "network.mac-of-group", s.place,
                  "switch '" + s.name + "' has the address of a group, " + to_text(*s.mac),
                  "give the switch's own bridge address");
        const auto [at, is_new] = by_mac.emplace(*s.mac, &s);
        if (!is_new)
            fault(findings, "network.macs-alike", s.place,
                  "switches '" + at->second->name + "' and '" + s.name + "' both have the address " + to_text(*s.mac),
                  "give each its own bridge address, or none");
    }
}

void check_queriers(const Venue& venue, Findings& findings) {
    std::map<IpAddress, const Switch*> by_address;
    const Switch* nameless = nullptr;
    for (const auto& s : venue.switches) {
        if (!s.querier) continue;
        if (!s.querier_address) {
            if (nameless != nullptr)
                fault(findings, "network.queriers-without-address", s.place,
                      "switches '" + nameless->name + "' and '" + s.name +
                          "' both query from 0.0.0.0, so neither gives way to the other",
                      "give each querier a querier_address");
            nameless = &s;
            continue;
        }
        const auto [at, is_new] = by_address.emplace(*s.querier_address, &s);
        if (!is_new)
            fault(findings, "network.queriers-share-address", s.place,
                  "switches '" + at->second->name + "' and '" + s.name + "' both query from " +
                      to_text(*s.querier_address),
                  "give each querier its own querier_address");
    }
}

void check_overlaps(const std::vector<GroupRange>& ranges, const std::string& noun,
                    Findings& findings) {
    std::vector<const GroupRange*> sorted;
    for (const auto& range : ranges) sorted.push_back(&range);
    std::sort(sorted.begin(), sorted.end(), [](const auto* a, const auto* b) {
        return span_of(*a) < span_of(*b);
    });
    for (std::size_t i = 1; i < sorted.size(); ++i) {
        const auto& a = *sorted[i - 1];
        const auto& b = *sorted[i];
        if (!overlap(span_of(a), span_of(b))) {
            continue;
        }
        const auto& later = a.place < b.place ? b : a;
        const auto& earlier = a.place < b.place ? a : b;
        fault(findings, "addressing.ranges-overlap", later.place,
              noun + " " + to_text(span_of(later)) + " overlaps " + to_text(span_of(earlier)),
              "make the two ranges apart, or one");
        if (a.last > b.last) sorted[i] = sorted[i - 1];
    }
}

}  // namespace

void check_network(Venue& venue, Findings& findings) {
    SwitchIndex index;
    for (std::size_t i = 0; i < venue.switches.size(); ++i)
        index.emplace(venue.switches[i].name, i);
    check_names(venue.switches, "switch", findings);
    check_names(venue.links, "link", findings);
    check_names(venue.zones, "zone", findings);
    check_links(venue, index, findings);
    check_zones(venue, index, findings);
    check_bridge_addresses(venue, findings);
    check_queriers(venue, findings);
    check_overlaps(venue.addressing.ranges, "range", findings);
    check_overlaps(venue.addressing.reserved, "reserved range", findings);
    if (venue.addressing.source_specific && venue.network.igmp_version < 3)
        fault(findings, "addressing.source-specific-needs-v3", venue.addressing.place,
              "source_specific needs IGMPv3, the network is said to run IGMPv" +
                  std::to_string(venue.network.igmp_version),
              "set igmp_version = 3 in [network]");
}

}  // namespace mastline
