// SPDX-License-Identifier: Apache-2.0
#include "planner/network/load_findings.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "mastline/network/membership_timers.hpp"
#include "mastline/network/query_codes.hpp"
#include "mastline/network/snooping_limits.hpp"
#include "planner/network/flooding.hpp"
#include "planner/network/switch_loads.hpp"

namespace mastline {

namespace {

std::string megabits(BitRate rate) {
    return fixed_text(static_cast<double>(rate.bits_per_second()) / 1e6, 1) + " Mbit/s";
}

constexpr std::int64_t kMostMembers = 16;  // as [[link]] says

// How many members, or how much speed, would do.
std::string cure_for(const LinkLoad& load, BitRate need) {
    if (load.of == LoadOf::display_port) return "raise port_speed, or take lighter channels";
    if (load.of == LoadOf::card) return "raise the card's port_speed, or move channels to other cards";
    const auto per_member = load.limit.bits_per_second() / std::max(load.members, 1);
    const auto members = (need.bits_per_second() + per_member - 1) / std::max<std::int64_t>(per_member, 1);
    if (members <= kMostMembers)
        return "bundle " + std::to_string(members) + " members of this speed, or take a faster link";
    const double share = static_cast<double>(load.limit.bits_per_second()) / static_cast<double>(load.capacity.bits_per_second());
    return "take a link of " + megabits(BitRate(static_cast<std::int64_t>(std::ceil(
                                   static_cast<double>(need.bits_per_second()) / share)))) + " or more";
}

Place place_of(const Site& site, const LinkLoad& load) {
    const auto& venue = site.venue;
    return load.of == LoadOf::link   ? venue.links[load.index].place
           : load.of == LoadOf::card ? venue.cards[load.index].place
                                         : venue.zones[load.index].place;
}

void report_over(const Site& site, const LinkLoad& load, Findings& findings) {
    struct Column {
        BitRate rate;
        std::string_view id, words;
    };
    const Column columns[] = {{load.scheduled, "load.scheduled-over-limit", "as scheduled it carries "},
                              {load.worst_mix, "load.worst-mix-over-limit", "the worst mix of channels is "},
                              {load.flooded, "load.flooding-over-limit", "flooding brings "},
                              {load.worst_failure, "load.failure-over-limit", ""}};
    for (const auto& c : columns) {
        if (c.rate <= load.limit) continue;
        const bool failure = c.id == "load.failure-over-limit";
        // Within its speed a link still carries a failure's load: there is no room left over.
        const auto severity =
            failure && c.rate <= load.capacity ? Severity::warning : Severity::error;
        const std::string words =
            failure ? "when " + load.failure + " fails it carries " : std::string(c.words);
        findings.push_back({severity, std::string(c.id),
                            "link " + load.link + ", " + load.from + " to " + load.to,
                            words + megabits(c.rate) + ", planned are at most " +
                                megabits(load.limit),
                            megabits(c.rate - load.limit),
                            c.id == "load.flooding-over-limit" ? "turn snooping on, or place a querier"
                            // Nothing else fills such a port in a failure.
                            : failure && load.of == LoadOf::display_port ? "turn snooping on, or place another querier"
                                                                         : cure_for(load, std::max(c.rate, load.worst_mix)),
                            place_of(site, load)});
        return;  // the first column that is over says it; the others are on the sheet
    }
}

// IPv4 groups are asked for by IGMP from an IPv4 address, IPv6 groups by MLD from a link-local one.
void report_querier_version(const Site& site, const Switch& s, Findings& findings) {
    bool v4 = false, v6 = false;
    for (const auto& range : site.venue.addressing.ranges)
        (range.first.address().is_v4() ? v4 : v6) = true;
    const auto& address = *s.querier_address;
    const bool suits = address.is_v4() ? v4 || !v6 : (v6 && address.is_link_local()) || (!v4 && !v6);
    if (suits) return;
    const std::string from = v6 ? "by MLD, whose queries come from a link-local address (RFC 3810 section 5.1.14)"
                                : "by IGMP, whose queries come from an IPv4 address (RFC 3376)";
    findings.push_back({Severity::warning, "network.querier-address-version", "switch " + s.name,
                        "the groups are asked for " + from + ", its querier_address is " + to_text(address), "",
                        v6 ? "give it the switch's own address of fe80::/10" : "give it an IPv4 address of the switch",
                        s.place});
}

void report_querier(const Site& site, const NetworkLoad& load, Findings& findings) {
    const auto& switches = site.venue.switches;
    const bool router = std::any_of(switches.begin(), switches.end(),
                                    [](const Switch& s) { return s.multicast_router; });
    const bool snoops = std::any_of(switches.begin(), switches.end(),
                                    [](const Switch& s) { return s.snooping; });
    if (load.querier.empty() && !router && snoops) {
        const bool stops = std::any_of(switches.begin(), switches.end(), [](const Switch& s) {
            return s.snooping && !s.floods_without_querier;
        });
        findings.push_back(
            {stops ? Severity::error : Severity::warning, "network.no-querier", "",
             "no switch is a querier: memberships end after " +
                 to_text(membership_interval(site.venue.network)) + ", then " +
                 (stops ? "streams stop" : "every stream goes to every port") + " (RFC 4541)",
             "", "set querier = true and a querier_address on a switch near the root", {}});
    }
    for (const auto& s : switches)
        if (s.querier && s.querier_address) report_querier_version(site, s, findings);
    for (const auto& s : switches)
        if (s.querier && !s.querier_address)
            findings.push_back({Severity::warning, "network.querier-without-address",
                                "switch " + s.name,
                                "it queries from 0.0.0.0: it takes no part in the election, and "
                                "other switches need not take its port for a router port (RFC 4541)",
                                "", "give it a querier_address", s.place});
}

void report_timers(const Site& site, Findings& findings) {
    const auto& n = site.venue.network;
    std::string timers;
    const auto add = [&](bool known, const std::string& name, Duration value) {
        if (!known) timers += (timers.empty() ? "" : ", ") + name + " " + to_text(value);
    };
    add(last_member_deciseconds(n).has_value(), "last_member_query_interval", n.last_member_query_interval);
    add(query_interval_seconds(n).has_value(), "query_interval", n.query_interval);
    add(query_response_deciseconds(n).has_value(), "query_response", n.query_response);
    if (timers.empty()) return;
    findings.push_back({Severity::note, "network.timer-not-in-model", "",
                        "the snooping configurations leave out " + timers +
                            ": RFC 9166 has no such value (1 s to 1023 s in tenths; whole seconds; "
                            "tenths of a second)",
                        "", "set it on the switches by their own means, or choose a value it has",
                        n.place});
}

// What a querier is set to, and what its queries then say.
void report_queries(const Site& site, Findings& findings) {
    const auto& n = site.venue.network;
    const auto add = [&](const std::string& key, Duration time, const QueryField& field, const char* where) {
        const Duration said = said_by(field, time);
        if (said == time) return;
        const Duration most = said_by(field, Duration::max());
        const bool over = time > most;
        findings.push_back({over ? Severity::error : Severity::note,
                            over ? "network.timer-too-long" : "network.timer-rounded", "",
                            key + " is " + to_text(time) + ", queries " +
                                (over ? "can say " + to_text(most) + " at most" : "say " + to_text(said)) + " (" +
                                where + ")",
                            "", "set " + key + " to " + to_text(said), n.place});
    };
    const auto responses = [&](const QueryField& field, const char* where) {
        add("query_response", n.query_response, field, where);
        add("last_member_query_interval", n.last_member_query_interval, field, where);
    };
    bool v4 = false, v6 = false;
    for (const auto& range : site.venue.addressing.ranges)
        (range.first.address().is_v4() ? v4 : v6) = true;
    const bool newer = n.igmp_version >= 3;
    if (v4 && newer) responses(kIgmp3Response, "RFC 3376 section 4.1.1");
    else if (v4) responses(kIgmp2Response, "RFC 2236 section 2.2");
    if (v6 && newer) responses(kMld2Response, "RFC 3810 section 5.1.3");
    else if (v6) responses(kMld1Response, "RFC 2710 section 3.4");
    if (newer) add("query_interval", n.query_interval, kQueryInterval, "RFC 3376 section 4.1.7");
}

void report_unattached(const Site& site, Findings& findings) {
    std::set<std::size_t> cards;
    for (const auto& c : site.carriages)
        if (!c.enters) cards.insert(c.card);
    for (const auto i : cards)
        findings.push_back({Severity::warning, "network.card-unattached",
                            "card " + site.venue.cards[i].name,
                            "it is plugged into no switch, so its streams are in no link's load", "",
                            "give it attached_to", site.venue.cards[i].place});
}

// What one member less does to the whole bundle is told of the whole.
void report_member_in_failure(const Site& site, const LinkLoad& load, BitRate limit,
                              Findings& findings) {
    if (load.failure_member <= limit || load.member_failure == "member of bundle " + load.link) return;
    findings.push_back({Severity::warning, "load.member-over-limit-in-failure",
                        "link " + load.link + ", " + load.from + " to " + load.to,
                        "when " + load.member_failure + " fails its fullest member carries " +
                            megabits(load.failure_member) + " (" + load.failure_member_rule +
                            "), planned are at most " + megabits(limit),
                        megabits(load.failure_member - limit),
                        "add members, or take one faster link in place of the bundle",
                        place_of(site, load)});
}

// Flows are not spread evenly over a bundle.
void report_member(const Site& site, const LinkLoad& load, Findings& findings) {
    if (load.members < 2 || load.worst_mix > load.limit) return;
    const BitRate limit(load.limit.bits_per_second() / load.members);
    if (load.fullest_member <= limit) return report_member_in_failure(site, load, limit, findings);
    findings.push_back({load.member_exact ? Severity::error : Severity::warning,
                        "load.member-over-limit",
                        "link " + load.link + ", " + load.from + " to " + load.to,
                        "its fullest member carries " + megabits(load.fullest_member) + " (" +
                            load.member_rule + "), planned are at most " + megabits(limit),
                        megabits(load.fullest_member - limit),
                        "add members, or take one faster link in place of the bundle",
                        place_of(site, load)});
}

// A bundle carries the same with one member less.
void report_member_loss(const Site& site, const LinkLoad& load,
                        Findings& findings) {
    if (load.members < 2) return;
    const std::int64_t left = load.members - 1;
    const BitRate limit(load.limit.bits_per_second() * left / load.members);
    const BitRate capacity(load.capacity.bits_per_second() * left / load.members);
    const BitRate carried = std::max(load.worst_mix, load.flooded);
    if (carried <= limit || carried > load.limit) return;
    findings.push_back({carried > capacity ? Severity::error : Severity::warning,
                        "load.member-failure-over-limit",
                        "link " + load.link + ", " + load.from + " to " + load.to,
                        "with one member of " + std::to_string(load.members) +
                            " failed it still has to carry " + megabits(carried) +
                            ", planned are at most " + megabits(limit),
                        megabits(carried - limit), cure_for(load, carried + (load.limit - limit)),
                        place_of(site, load)});
}

// One note for all zones that hang by one link, or by a switch other than their own.
void report_cut_off(const Site& site, const NetworkLoad& load, Findings& findings) {
    std::map<std::string, std::string> own;
    for (const auto& zone : site.venue.zones) own[zone.name] = "switch " + zone.attached_to;
    std::map<std::string, std::string> first;  // zone -> a failure that cuts it off
    for (const auto& c : load.cut_off)
        if (own[c.zone] != c.failure) first.emplace(c.zone, c.failure);
    if (first.empty()) return;
    std::string names;
    std::size_t listed = 0;
    for (const auto& [zone, failure] : first)
        if (++listed <= 3) names += (listed > 1 ? ", " : "") + zone + " by " + failure;
    findings.push_back({Severity::note, "network.zones-hang-by-one", "",
                        "the failure of one link, or of a switch other than its own, cuts off a "
                        "zone: " + names +
                            (first.size() > 3 ? " and others" : ""),
                        std::to_string(first.size()) + " of " +
                            std::to_string(site.venue.zones.size()) + " zones",
                        "add a second link from their switches", {}});
}

}  // namespace

void report_network(const Site& site, const NetworkLoad& load, Findings& findings) {
    if (site.venue.network.forwarding == Forwarding::spanning_tree)
        report_querier(site, load, findings);
    report_switches(site, load, findings);
    report_timers(site, findings);
    report_queries(site, findings);
    report_unattached(site, findings);
    for (const auto& l : load.links) {
        report_over(site, l, findings);
        report_member(site, l, findings);
        report_member_loss(site, l, findings);
    }
    report_cut_off(site, load, findings);
}

}  // namespace mastline
