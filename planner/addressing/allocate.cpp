// SPDX-License-Identifier: Apache-2.0
#include "mastline/addressing/allocate.hpp"

#include <algorithm>
#include <map>
#include <set>

#include "planner/addressing/code_point.hpp"
#include "planner/addressing/given_groups.hpp"
#include "planner/addressing/group_pool.hpp"
#include "planner/addressing/mnemonic.hpp"
#include "planner/addressing/ports.hpp"
#include "planner/addressing/range_choice.hpp"
#include "planner/addressing/sharing.hpp"
#include "planner/addressing/shortage.hpp"
#include "planner/addressing/sources.hpp"

namespace mastline {

namespace {

class Allocation {
public:
    Allocation(const Venue& venue, const Assignment& assignment, const AddressHistory& history,
               Findings& findings)
        : venue_(venue), assignment_(assignment), history_(history), findings_(findings),
          pool_(venue), groups_(assignment.homes.size()) {}

    Addressing run() {
        order_homes();
        check_ranges(venue_.addressing, findings_);
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

    void keep_pinned() {
        take_pinned(venue_, pool_, findings_);
        for (const auto home : order_)
            if (copy_of(home) == 1) groups_[home] = channel_of(home).group;
    }

    RangeChoice choice_of(std::size_t home) const { return ranges_for(venue_.addressing, channel_of(home)); }

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
        for (const auto range : choice_of(home))
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
            for (const auto range : choice_of(home)) {
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
            for (const auto range : choice_of(home)) {
                if (groups_[home]) break;
                if (const auto group = pool_.last(range)) give(home, *group);
            }
            if (!groups_[home]) without.push_back(home);
            else if (copy_of(home) == 1 && !channel_of(home).group && !is_shown(home)) report_unshown(home);
        }
        if (!without.empty()) shortage().exhausted(without, choice_of(without.front()), findings_);
    }

    // Whether the group bears the channel's number, whichever plan gave it.
    bool is_shown(std::size_t home) const {
        const auto ranges = choice_of(home);
        return std::any_of(ranges.begin(), ranges.end(), [&](std::size_t range) {
            return mnemonic_group(venue_.addressing.ranges[range], channel_of(home).number) == *groups_[home];
        });
    }

    void report_unshown(std::size_t home) {
        std::string why = "no range has a group that shows its number";
        for (const auto range : choice_of(home)) {
            const auto shown = mnemonic_group(venue_.addressing.ranges[range], channel_of(home).number);
            if (!shown) continue;
            why = to_text(*shown) + ", which shows its number, " +
                  (!pool_.allows(range, *shown) ? "is reserved or ruled out"
                   : pool_.is_free(*shown)      ? "is free, but it keeps the group it had"
                                                : "is taken, or a switch confuses it with a group that is");
            break;
        }
        findings_.push_back({Severity::note, "addressing.number-not-shown",
                             "channel " + to_text(channel_of(home).number),
                             why + "; it has " + to_text(*groups_[home]), "",
                             "widen the range, or pin its group", channel_of(home).place});
    }

    // First from the ranges of each channel's own tag, then from all that it may draw from.
    void share_out() {
        std::vector<RangeChoice> tagged, all;
        for (std::size_t home = 0; home < groups_.size(); ++home) {
            tagged.push_back(tagged_ranges(venue_.addressing, channel_of(home)));
            all.push_back(choice_of(home));
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
        shortage().outside_tag(waiting, tagged, groups_, findings_);
        for (const auto& [ranges, homes] : without) shortage().exhausted(homes, ranges, findings_);
    }

    Shortage shortage() const { return {venue_, assignment_, order_, resting_.size()}; }

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
