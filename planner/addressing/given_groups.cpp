// SPDX-License-Identifier: Apache-2.0
#include "planner/addressing/given_groups.hpp"

#include <algorithm>
#include <unordered_map>

#include "planner/addressing/group_numbers.hpp"
#include "planner/addressing/group_rules.hpp"

namespace mastline {

namespace {

using PinnedByMac = std::unordered_map<std::uint64_t, const Channel*>;

Finding broken(const GroupRule& rule, std::string subject, const std::string& group, const Place& place) {
    return {rule.severity, rule.id, std::move(subject), group + " " + rule.what, "", rule.cure, place};
}

// Who has the Ethernet address of `group` already.
std::string holder_of(const Group& group, const PinnedByMac& pinned, const Venue& venue) {
    const auto number = mac_number(group);
    if (const auto at = pinned.find(number); at != pinned.end())
        return to_text(*at->second->group) + " of channel " + to_text(at->second->number);
    std::string holder = "a group that is occupied already";
    for (const auto& o : venue.occupied)
        for (const auto& span : mac_spans(span_of(o.range)))
            if (number >= span.first && number < span.end)
                holder = to_text(span_of(o.range)) + (o.what.empty() ? "" : " (" + o.what + ")");
    return holder;
}

}  // namespace

void check_ranges(const AddressingPolicy& policy, Findings& findings) {
    for (const auto& range : policy.ranges)
        for (const auto& rule : rules_touching(span_of(range), policy))
            if (!rule.hole || rule.groups == span_of(range))
                findings.push_back(broken(rule, "range " + to_text(span_of(range)), to_text(rule.groups), range.place));
}

void take_pinned(const Venue& venue, GroupPool& pool, Findings& findings) {
    std::vector<const Channel*> channels;
    for (const auto& channel : venue.channels)
        if (channel.group) channels.push_back(&channel);
    std::stable_sort(channels.begin(), channels.end(), [](auto* a, auto* b) { return a->number < b->number; });
    PinnedByMac pinned;
    for (const auto* channel : channels) {
        const Group group = *channel->group;
        const std::string subject = "channel " + to_text(channel->number);
        for (const auto& rule : rules_touching({group, group}, venue.addressing))
            findings.push_back(broken(rule, subject, to_text(group), channel->place));
        if (!pool.is_free(group))
            findings.push_back({Severity::error, "addressing.groups-collide", subject,
                                to_text(group) + " has the Ethernet address " + to_text(mac_of(group)) + ", like " +
                                    holder_of(group, pinned, venue),
                                "", "pin another group, or none", channel->place});
        pool.take(group);
        pinned.emplace(mac_number(group), channel);
    }
}

}  // namespace mastline
