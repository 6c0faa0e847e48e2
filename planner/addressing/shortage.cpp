// SPDX-License-Identifier: Apache-2.0
#include "planner/addressing/shortage.hpp"

#include <algorithm>
#include <map>

#include "mastline/net/group_range.hpp"
#include "planner/addressing/group_pool.hpp"

namespace mastline {

namespace {

std::string and_more(std::size_t count) {
    return count > 1 ? " and " + std::to_string(count - 1) + " more" : "";
}

std::string groups_text(std::size_t count) {
    return std::to_string(count) + (count == 1 ? " group" : " groups");
}

}  // namespace

std::string Shortage::subject_of(std::size_t home) const {
    const int copy = assignment_.homes[home].copy;
    return "channel " + to_text(channel_of(home).number) + (copy > 1 ? " copy " + std::to_string(copy) : "");
}

void Shortage::outside_tag(const std::vector<std::size_t>& given, const std::vector<RangeChoice>& tagged,
                           const std::vector<std::optional<Group>>& groups, Findings& findings) const {
    const auto& ranges = venue_.addressing.ranges;
    std::map<RangeChoice, std::vector<std::size_t>> outside;
    for (const auto home : given) {
        const auto& own = tagged[home];
        const auto drawn_from = [&](std::size_t range) {
            return overlap(span_of(ranges[range]), {*groups[home], *groups[home]});
        };
        if (groups[home] && !own.empty() && std::none_of(own.begin(), own.end(), drawn_from)) outside[own].push_back(home);
    }
    for (const auto& [own, homes] : outside)
        findings.push_back({Severity::warning, "addressing.tag-full", subject_of(homes.front()),
                            names_of(own, venue_.addressing) + " has no group left for it" + and_more(homes.size()) +
                                "; it has " + to_text(*groups[homes.front()]),
                            groups_text(homes.size()), "widen the range by " + groups_text(homes.size()) + " or more",
                            ranges[own.front()].place});
}

// How many homes without a pinned group may draw from `ranges` alone.
std::size_t Shortage::confined_to(const RangeChoice& ranges) const {
    return static_cast<std::size_t>(std::count_if(homes_.begin(), homes_.end(), [&](std::size_t home) {
        const auto& channel = channel_of(home);
        if (assignment_.homes[home].copy == 1 && channel.group) return false;
        auto own = ranges_for(venue_.addressing, channel);
        std::sort(own.begin(), own.end());
        return !own.empty() && std::includes(ranges.begin(), ranges.end(), own.begin(), own.end());
    }));
}

// Collision-free groups of `ranges` beside those that are pinned.
std::uint64_t Shortage::capacity_of(const RangeChoice& ranges) const {
    GroupPool fresh(venue_);
    for (const auto& channel : venue_.channels)
        if (channel.group) fresh.take(*channel.group);
    return fresh.left(ranges);
}

void Shortage::exhausted(const std::vector<std::size_t>& without, RangeChoice ranges, Findings& findings) const {
    std::sort(ranges.begin(), ranges.end());
    const auto& policy = venue_.addressing;
    const auto& first = channel_of(without.front());
    const bool by_tag = policy.scheme == GroupScheme::by_tag;
    const auto count = groups_text(without.size());
    const std::string tags = std::string(to_text(first.picture)) + (first.genre.empty() ? "" : " or " + first.genre);
    if (ranges.empty() && by_tag && !policy.ranges.empty()) {
        findings.push_back({Severity::error, "addressing.no-range-for-tag", subject_of(without.front()),
                            "no range has the tag " + tags + ", and none is without a tag" +
                                (without.size() > 1 ? ", for it" + and_more(without.size()) : ""),
                            count, "add an [[addressing.range]] without tag", policy.place});
        return;
    }
    const bool tagged = by_tag && std::none_of(ranges.begin(), ranges.end(),
                                               [&](std::size_t r) { return policy.ranges[r].tag.empty(); });
    const bool all = ranges.size() == policy.ranges.size();
    findings.push_back({Severity::error, "addressing.exhausted", subject_of(without.front()),
                        "no group is left for it" + and_more(without.size()) + "; " +
                            (all ? "the ranges" : names_of(ranges, policy)) + " can give " +
                            std::to_string(capacity_of(ranges)) + " groups that no switch confuses, " +
                            std::to_string(confined_to(ranges)) + " are needed" +
                            (resting_ == 0 ? "" : ", " + std::to_string(resting_) + " rest after use"),
                        count,
                        "add an [[addressing.range]] of " + count + " or more" +
                            (tagged ? " without tag, or with the tag " + tags : ""),
                        policy.place});
}

}  // namespace mastline
