// SPDX-License-Identifier: Apache-2.0
#include "planner/addressing/sources.hpp"

#include <map>
#include <string>

namespace mastline {

namespace {

std::string version_word(bool is_v4) { return is_v4 ? "IPv4" : "IPv6"; }

struct Sent {
    bool v4 = false, v6 = false;  // groups of this version
};

void check_card(const Venue& venue, const Card& card, const Sent& sent, Findings& findings) {
    const auto report = [&](const char* id, std::string what, std::string cure) {
        findings.push_back({Severity::error, id, "card " + card.name, std::move(what), "", std::move(cure), card.place});
    };
    if (!card.source) {
        if (venue.addressing.source_specific)
            report("addressing.no-source", "its streams are joined by source, and it has none",
                   "give the card a source");
        return;
    }
    const bool v4 = card.source->is_v4();
    if (v4 ? sent.v6 : sent.v4)
        report("addressing.source-version",
               "its source " + to_text(*card.source) + " is of " + version_word(v4) + ", its groups are of " +
                   version_word(!v4) + ": one datagram has both addresses",
               "give it a source of " + version_word(!v4) + ", or groups of " + version_word(v4));
    if (card.source->is_link_local() && venue.network.forwarding == Forwarding::routed)
        report("addressing.source-link-local",
               "no router passes on what comes from " + to_text(*card.source) + " (" +
                   (v4 ? "RFC 3927 section 7" : "RFC 4291 section 2.5.6") + "), and streams are routed here",
               "give it an address that is routed on the site");
}

}  // namespace

void check_sources(const Venue& venue, const Assignment& assignment, const Addressing& addressing,
                   Findings& findings) {
    std::map<std::size_t, Sent> sent;  // by card
    for (const auto* carriages : {&addressing.carriages, &addressing.silent})
        for (const auto& c : *carriages) {
            auto& of_card = sent[assignment.homes[c.home].card];
            (c.flow.group.address().is_v4() ? of_card.v4 : of_card.v6) = true;
        }
    for (const auto& [card, groups] : sent) check_card(venue, venue.cards[card], groups, findings);
}

}  // namespace mastline
