// SPDX-License-Identifier: Apache-2.0
#include "mastline/addressing/allocate.hpp"

#include <algorithm>
#include <map>
#include <set>
#include <unordered_map>

#include "planner/addressing/code_point.hpp"
#include "planner/addressing/group_numbers.hpp"
#include "planner/addressing/group_pool.hpp"
#include "planner/addressing/group_rules.hpp"
#include "planner/addressing/mnemonic.hpp"
#include "planner/addressing/ports.hpp"
#include "planner/addressing/sharing.hpp"
#include "planner/addressing/sources.hpp"

namespace mastline {

namespace {

constexpr std::string_view class_word(PictureClass c) {
    constexpr std::string_view words[] = {"radio", "sd", "hd", "uhd"};
    return words[static_cast<std::size_t>(c)];
}

std::string subject_of(const Channel& channel, int copy) {
    return "channel " + to_text(channel.number) + (copy > 1 ? " copy " + std::to_string(copy) : "");
}

class Allocation {
public:
    Allocation(const Venue& venue, const Assignment& assignment, const AddressHistory& history,
               Findings& findings)
        : venue_(venue), assignment_(assignment), history_(history), findings_(findings),
          pool_(venue), groups_(assignment.homes.size()) {}

    Addressing run() {
        order_homes();
        check_ranges();
        keep_pinned();
        keep_held();
        give_back();
        rest_freed();
        if (venue_.addressing.scheme == GroupScheme::by_number) {
            give_by_number();
            give_last();
        } else {
            share_out();
        }
        return finish();
    }

private:
    const Channel& channel_of(std::size_t home) const {
        return venue_.channels[assignment_.homes[home].channel];
    }
    int copy_of(std::size_t home) const { return assignment_.homes[home].copy; }
    // It waits in the group of the first carriage and needs none of its own.
    bool is_silent(std::size_t home) const {
        return copy_of(home) == 2 && venue_.protection.second == SecondCarriage::same_group;
    }

    // By channel number, whatever the order of the files.
    void order_homes() {
        for (std::size_t i = 0; i < groups_.size(); ++i)
            if (!is_silent(i)) order_.push_back(i);
        std::stable_sort(order_.begin(), order_.end(), [this](std::size_t a, std::size_t b) {
            return std::pair(channel_of(a).number, copy_of(a)) <
                   std::pair(channel_of(b).number, copy_of(b));
        });
    }

    void report(const GroupRule& rule, std::string subject, const std::string& group,
                std::string amount, const Place& place) {
        findings_.push_back({rule.severity, rule.id, std::move(subject), group + " " + rule.what,
                             std::move(amount), rule.cure, place});
    }

    // A range is at fault where a rule is broken that honest ranges do not touch, or everywhere.
    void check_ranges() {
        for (const auto& range : venue_.addressing.ranges)
            for (const auto& rule : rules_touching(span_of(range), venue_.addressing))
                if (!rule.hole || rule.groups == span_of(range))
                    report(rule, "range " + to_text(span_of(range)), to_text(rule.groups), "",
                           range.place);
    }

    void keep_pinned() {
        std::map<std::size_t, std::size_t> home_of;  // channel -> home of its first copy
        for (const auto home : order_)
            if (copy_of(home) == 1) home_of.emplace(assignment_.homes[home].channel, home);
        std::vector<std::size_t> pinned;
        for (std::size_t i = 0; i < venue_.channels.size(); ++i)
            if (venue_.channels[i].group) pinned.push_back(i);
        std::stable_sort(pinned.begin(), pinned.end(), [this](std::size_t a, std::size_t b) {
            return venue_.channels[a].number < venue_.channels[b].number;
        });
        for (const auto i : pinned) {
            check_pinned(venue_.channels[i]);
            pool_.take(*venue_.channels[i].group);
            owner_.emplace(mac_number(*venue_.channels[i].group), &venue_.channels[i]);
            if (const auto home = home_of.find(i); home != home_of.end())
                groups_[home->second] = venue_.channels[i].group;
        }
    }

    void check_pinned(const Channel& channel) {
        const Group group = *channel.group;
        for (const auto& rule : rules_touching({group, group}, venue_.addressing))
            report(rule, subject_of(channel, 1), to_text(group), "", channel.place);
        if (pool_.is_free(group)) return;
        const auto owner = owner_.find(mac_number(group));
        std::string other = "a group that is occupied already";
        if (owner != owner_.end()) {
            other = to_text(*owner->second->group) + " of channel " + to_text(owner->second->number);
        } else {
            for (const auto& o : venue_.occupied)
                for (const auto& span : mac_spans(span_of(o.range)))
                    if (mac_number(group) >= span.first && mac_number(group) < span.end)
                        other = to_text(span_of(o.range)) + (o.what.empty() ? "" : " (" + o.what + ")");
        }
        findings_.push_back({Severity::error, "addressing.groups-collide", subject_of(channel, 1),
                             to_text(group) + " has the Ethernet address " +
                                 to_text(mac_of(group)) + ", like " + other,
                             "", "pin another group, or none", channel.place});
    }

    bool by_tag() const { return venue_.addressing.scheme == GroupScheme::by_tag; }

    // The ranges whose tag is the channel's.
    RangeChoice tagged_ranges_for(const Channel& channel) const {
        RangeChoice out;
        const auto& ranges = venue_.addressing.ranges;
        for (std::size_t i = 0; by_tag() && i < ranges.size(); ++i)
            if (!ranges[i].tag.empty() && (ranges[i].tag == channel.genre ||
                                           ranges[i].tag == class_word(channel.picture)))
                out.push_back(i);
        return out;
    }

    // What the channel may draw from, in order of preference.
    RangeChoice ranges_for(const Channel& channel) const {
        RangeChoice out = tagged_ranges_for(channel);
        const auto& ranges = venue_.addressing.ranges;
        for (std::size_t i = 0; i < ranges.size(); ++i)
            if (!by_tag() || ranges[i].tag.empty()) out.push_back(i);
        return out;
    }

    void give(std::size_t home, const Group& group) {
        groups_[home] = group;
        pool_.take(group);
    }

    void keep_held() {
        std::map<std::pair<std::string, int>, Group> held;
        for (const auto& h : history_.held) held.emplace(std::pair(h.channel, h.copy), h.group);
        for (const auto home : order_) {
            const auto at = held.find({to_text(channel_of(home).number), copy_of(home)});
            if (!groups_[home] && at != held.end()) give_if_allowed(home, at->second);
        }
    }

    // A channel that comes back while its group rests has it again: what displays remember is right.
    void give_back() {
        std::map<std::pair<std::string, int>, RestingGroup> latest;
        for (const auto& r : history_.resting) {
            const auto [at, is_new] = latest.emplace(std::pair(r.channel, r.copy), r);
            if (!is_new && at->second.freed_on < r.freed_on) at->second = r;
        }
        for (const auto home : order_) {
            const auto at = latest.find({to_text(channel_of(home).number), copy_of(home)});
            if (!groups_[home] && at != latest.end()) give_if_allowed(home, at->second.group);
        }
    }

    void give_if_allowed(std::size_t home, const Group& group) {
        if (!pool_.is_free(group)) return;
        for (const auto range : ranges_for(channel_of(home)))
            if (pool_.allows(range, group)) return give(home, group);
    }

    // Groups of earlier plans that nobody kept are taken for the time of their rest.
    void rest_freed() {
        std::set<Group> kept;
        for (const auto& g : groups_)
            if (g) kept.insert(*g);
        std::map<Group, RestingGroup> freed;
        for (const auto& r : history_.resting) freed.emplace(r.group, r);
        for (const auto& h : history_.held)
            freed.insert_or_assign(h.group, RestingGroup{h.group, history_.today, h.channel, h.copy});
        for (const auto& [group, resting] : freed) {
            if (kept.contains(group) || history_.today - resting.freed_on >= venue_.addressing.rest) continue;
            resting_.push_back(resting);
            pool_.take(group);
        }
    }

    void give_by_number() {
        for (const auto home : order_) {
            if (groups_[home] || copy_of(home) > 1) continue;
            for (const auto range : ranges_for(channel_of(home))) {
                const auto group = mnemonic_group(venue_.addressing.ranges[range],
                                                  channel_of(home).number);
                if (!group || !pool_.allows(range, *group) || !pool_.is_free(*group)) continue;
                give(home, *group);
                break;
            }
        }
    }

    // Groups for what shows no number. From the end of the ranges: those at the start show the
    // numbers of channels that may come.
    void give_last() {
        std::vector<std::size_t> without;
        for (const auto home : order_) {
            for (const auto range : ranges_for(channel_of(home))) {
                if (groups_[home]) break;
                if (const auto group = pool_.last(range)) give(home, *group);
            }
            if (!groups_[home]) without.push_back(home);
            else if (copy_of(home) == 1 && !channel_of(home).group && !is_shown(home)) report_unshown(home);
        }
        if (!without.empty()) report_exhausted(without, ranges_for(channel_of(without.front())));
    }

    // Whether the group bears the channel's number, whichever plan gave it.
    bool is_shown(std::size_t home) const {
        const auto ranges = ranges_for(channel_of(home));
        return std::any_of(ranges.begin(), ranges.end(), [&](std::size_t range) {
            return mnemonic_group(venue_.addressing.ranges[range], channel_of(home).number) == *groups_[home];
        });
    }

    void report_unshown(std::size_t home) {
        std::string why = "no range has a group that shows its number";
        for (const auto range : ranges_for(channel_of(home))) {
            const auto shown = mnemonic_group(venue_.addressing.ranges[range], channel_of(home).number);
            if (!shown) continue;
            why = to_text(*shown) + ", which shows its number, " +
                  (!pool_.allows(range, *shown) ? "is reserved or ruled out"
                   : pool_.is_free(*shown)      ? "is free, but it keeps the group it had"
                                                : "is taken, or a switch confuses it with a group that is");
            break;
        }
        findings_.push_back({Severity::note, "addressing.number-not-shown",
                             subject_of(channel_of(home), 1),
                             why + "; it has " + to_text(*groups_[home]), "",
                             "widen the range, or pin its group", channel_of(home).place});
    }

    // First from the ranges of each channel's own tag, then from all that it may draw from.
    void share_out() {
        std::vector<RangeChoice> tagged, all;
        for (std::size_t home = 0; home < groups_.size(); ++home) {
            tagged.push_back(tagged_ranges_for(channel_of(home)));
            all.push_back(ranges_for(channel_of(home)));
        }
        Sharing sharing(pool_, groups_);
        std::vector<std::size_t> waiting;
        for (const auto home : order_)
            if (!groups_[home]) waiting.push_back(home);
        for (const auto home : waiting)
            if (!tagged[home].empty()) sharing.give(home, tagged);
        std::map<RangeChoice, std::vector<std::size_t>> without;  // by the ranges that they lack
        for (const auto home : waiting)
            if (!groups_[home] && !sharing.give(home, all)) without[sharing.contested()].push_back(home);
        report_outside_tag(waiting, tagged);
        for (const auto& [ranges, homes] : without) report_exhausted(homes, ranges);
    }

    // Channels with a range for their tag that is full, once for each such range.
    void report_outside_tag(const std::vector<std::size_t>& homes, const std::vector<RangeChoice>& tagged) {
        std::map<RangeChoice, std::vector<std::size_t>> outside;
        for (const auto home : homes) {
            const auto& own = tagged[home];
            const auto drawn_from = [&](std::size_t range) {
                return overlap(span_of(venue_.addressing.ranges[range]), {*groups_[home], *groups_[home]});
            };
            if (groups_[home] && !own.empty() && std::none_of(own.begin(), own.end(), drawn_from))
                outside[own].push_back(home);
        }
        for (const auto& [ranges, of_tag] : outside) {
            const auto& first = channel_of(of_tag.front());
            findings_.push_back({Severity::warning, "addressing.tag-full",
                                 subject_of(first, copy_of(of_tag.front())),
                                 names_of(ranges) + " has no group left for it" + and_more(of_tag.size()) +
                                     "; it has " + to_text(*groups_[of_tag.front()]),
                                 groups_text(of_tag.size()),
                                 "widen the range by " + groups_text(of_tag.size()) + " or more",
                                 venue_.addressing.ranges[ranges.front()].place});
        }
    }

    static std::string and_more(std::size_t count) {
        return count > 1 ? " and " + std::to_string(count - 1) + " more" : "";
    }
    static std::string groups_text(std::size_t count) {
        return std::to_string(count) + (count == 1 ? " group" : " groups");
    }

    // "239.192.2.0-239.192.2.255 (sport)"
    std::string names_of(const RangeChoice& ranges) const {
        std::string out;
        for (const auto range : ranges) {
            const auto& r = venue_.addressing.ranges[range];
            out += (out.empty() ? "" : " and ") + to_text(span_of(r)) +
                   (r.tag.empty() || !by_tag() ? "" : " (" + r.tag + ")");
        }
        return out;
    }

    // How many homes without a pinned group may draw from `ranges` alone.
    std::size_t confined_to(const RangeChoice& ranges) const {
        std::size_t count = 0;
        for (const auto home : order_) {
            auto own = ranges_for(channel_of(home));
            std::sort(own.begin(), own.end());
            const bool pinned = copy_of(home) == 1 && channel_of(home).group;
            if (!pinned && !own.empty() &&
                std::includes(ranges.begin(), ranges.end(), own.begin(), own.end())) ++count;
        }
        return count;
    }

    // Collision-free groups of `ranges` beside those that are pinned.
    std::uint64_t capacity_of(const RangeChoice& ranges) const {
        GroupPool fresh(venue_);
        for (const auto& channel : venue_.channels)
            if (channel.group) fresh.take(*channel.group);
        return fresh.left(ranges);
    }

    // `ranges`: all that the homes may draw from, and whoever competes with them.
    void report_exhausted(const std::vector<std::size_t>& homes, RangeChoice ranges) {
        std::sort(ranges.begin(), ranges.end());
        const auto& first = channel_of(homes.front());
        const std::string subject = subject_of(first, copy_of(homes.front()));
        const std::string tags = std::string(class_word(first.picture)) +
                                 (first.genre.empty() ? "" : " or " + first.genre);
        if (ranges.empty() && by_tag() && !venue_.addressing.ranges.empty()) {
            findings_.push_back({Severity::error, "addressing.no-range-for-tag", subject,
                                 "no range has the tag " + tags + ", and none is without a tag" +
                                     (homes.size() > 1 ? ", for it" + and_more(homes.size()) : ""),
                                 groups_text(homes.size()),
                                 "add an [[addressing.range]] without tag", venue_.addressing.place});
            return;
        }
        const bool all = ranges.size() == venue_.addressing.ranges.size();
        const auto count = groups_text(homes.size());
        const bool tagged = by_tag() && std::none_of(ranges.begin(), ranges.end(), [this](std::size_t r) {
                                return venue_.addressing.ranges[r].tag.empty();
                            });
        findings_.push_back(
            {Severity::error, "addressing.exhausted", subject,
             "no group is left for it" + and_more(homes.size()) + "; " +
                 (all ? "the ranges" : names_of(ranges)) + " can give " +
                 std::to_string(capacity_of(ranges)) + " groups that no switch confuses, " +
                 std::to_string(confined_to(ranges)) + " are needed" + resting_words(),
             count,
             "add an [[addressing.range]] of " + count + " or more" +
                 (tagged ? " without tag, or with the tag " + tags : ""),
             venue_.addressing.place});
    }

    std::string resting_words() const {
        return resting_.empty() ? "" : ", " + std::to_string(resting_.size()) + " rest after use";
    }

    Addressing finish() {
        Addressing out;
        out.capacity = group_capacity(venue_);
        out.resting = std::move(resting_);
        std::set<std::size_t> channels;
        for (std::size_t home = 0; home < groups_.size(); ++home) {
            if (!groups_[home]) continue;
            const auto& h = assignment_.homes[home];
            channels.insert(h.channel);
            const auto& card = venue_.cards[h.card];
            out.carriages.push_back(
                {home, {*groups_[home], port_of(channel_of(home), venue_.addressing)}, card.source});
        }
        out.silent = silent_beside(out.carriages);
        check_sources(venue_, assignment_, out, findings_);
        check_code_point(venue_.addressing, findings_);
        check_ports(venue_, {channels.begin(), channels.end()}, findings_);
        return out;
    }

    std::vector<CarriageAddress> silent_beside(const std::vector<CarriageAddress>& sent) const {
        std::map<std::size_t, const CarriageAddress*> of_channel;
        for (const auto& carriage : sent) of_channel.emplace(assignment_.homes[carriage.home].channel, &carriage);
        std::vector<CarriageAddress> out;
        for (std::size_t home = 0; home < groups_.size(); ++home) {
            if (!is_silent(home)) continue;
            const auto& h = assignment_.homes[home];
            if (const auto first = of_channel.find(h.channel); first != of_channel.end())
                out.push_back({home, first->second->flow, venue_.cards[h.card].source});
        }
        return out;
    }

    const Venue& venue_;
    const Assignment& assignment_;
    const AddressHistory& history_;
    Findings& findings_;
    GroupPool pool_;
    std::vector<std::optional<Group>> groups_;  // by home
    std::vector<std::size_t> order_;
    std::vector<RestingGroup> resting_;
    std::unordered_map<std::uint64_t, const Channel*> owner_;  // of pinned groups, by MAC number
};

}  // namespace

Addressing allocate(const Venue& venue, const Assignment& assignment, Findings& findings) {
    return allocate(venue, assignment, {}, findings);
}

Addressing allocate(const Venue& venue, const Assignment& assignment, const AddressHistory& history,
                    Findings& findings) {
    return Allocation(venue, assignment, history, findings).run();
}

}  // namespace mastline
