// SPDX-License-Identifier: Apache-2.0
#include "mastline/addressing/allocate.hpp"

#include <algorithm>
#include <map>
#include <set>
#include <unordered_map>

#include "planner/addressing/group_numbers.hpp"
#include "planner/addressing/group_pool.hpp"
#include "planner/addressing/group_rules.hpp"
#include "planner/addressing/mnemonic.hpp"
#include "planner/addressing/ports.hpp"

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
        rest_freed();
        if (venue_.addressing.scheme == GroupScheme::by_number) give_by_number();
        give_next();
        report_exhaustion();
        return finish();
    }

private:
    const Channel& channel_of(std::size_t home) const {
        return venue_.channels[assignment_.homes[home].channel];
    }
    int copy_of(std::size_t home) const { return assignment_.homes[home].copy; }

    // By channel number, whatever the order of the files.
    void order_homes() {
        for (std::size_t i = 0; i < groups_.size(); ++i) order_.push_back(i);
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

    // What the channel may draw from, in order of preference.
    std::vector<std::size_t> ranges_for(const Channel& channel) const {
        const auto& ranges = venue_.addressing.ranges;
        std::vector<std::size_t> own, any;
        for (std::size_t i = 0; i < ranges.size(); ++i) {
            const auto& tag = ranges[i].tag;
            if (venue_.addressing.scheme != GroupScheme::by_tag || tag.empty()) any.push_back(i);
            else if (tag == channel.genre || tag == class_word(channel.picture)) own.push_back(i);
        }
        own.insert(own.end(), any.begin(), any.end());
        return own;
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
            if (groups_[home] || at == held.end() || !pool_.is_free(at->second)) continue;
            for (const auto range : ranges_for(channel_of(home)))
                if (pool_.allows(range, at->second)) {
                    give(home, at->second);
                    break;
                }
        }
    }

    // Groups of earlier plans that nobody kept are taken for the time of their rest.
    void rest_freed() {
        std::set<Group> kept;
        for (const auto& g : groups_)
            if (g) kept.insert(*g);
        std::map<Group, std::chrono::sys_days> freed;
        for (const auto& r : history_.resting) freed.emplace(r.group, r.freed_on);
        for (const auto& h : history_.held) freed.insert_or_assign(h.group, history_.today);
        for (const auto& [group, day] : freed) {
            if (kept.contains(group) || history_.today - day >= venue_.addressing.rest) continue;
            resting_.push_back({group, day});
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
        for (const auto home : order_)
            if (!groups_[home] && copy_of(home) == 1) unnamed_.push_back(home);
    }

    void give_next() {
        for (const auto home : order_)
            for (const auto range : ranges_for(channel_of(home))) {
                if (groups_[home]) break;
                if (const auto group = pool_.next(range)) give(home, *group);
            }
        for (const auto home : unnamed_)
            if (groups_[home])
                findings_.push_back({Severity::note, "addressing.number-not-shown",
                                     subject_of(channel_of(home), 1),
                                     "its number makes no free group, so it has " +
                                         to_text(*groups_[home]),
                                     "", "widen the range, or pin its group",
                                     channel_of(home).place});
    }

    void report_exhaustion() {
        std::vector<std::size_t> without;
        for (const auto home : order_)
            if (!groups_[home]) without.push_back(home);
        if (without.empty()) return;
        const auto& first = channel_of(without.front());
        const auto count = std::to_string(without.size());
        findings_.push_back(
            {Severity::error, "addressing.exhausted", subject_of(first, copy_of(without.front())),
             "no group is left for it" +
                 (without.size() > 1 ? " and " + std::to_string(without.size() - 1) + " more" : "") +
                 "; the ranges can give " + std::to_string(group_capacity(venue_)) +
                 " groups that no switch confuses, " + std::to_string(groups_.size()) +
                 " are needed" + resting_words(),
             count + (without.size() == 1 ? " group" : " groups"),
             "add an [[addressing.range]] of " + count + " groups or more",
             venue_.addressing.place});
    }

    std::string resting_words() const {
        return resting_.empty() ? "" : ", " + std::to_string(resting_.size()) + " rest after use";
    }

    Addressing finish() {
        Addressing out;
        out.capacity = group_capacity(venue_);
        out.resting = std::move(resting_);
        std::set<std::size_t> channels, sourceless;
        for (std::size_t home = 0; home < groups_.size(); ++home) {
            if (!groups_[home]) continue;
            const auto& h = assignment_.homes[home];
            channels.insert(h.channel);
            const auto& card = venue_.cards[h.card];
            out.carriages.push_back(
                {home, {*groups_[home], port_of(channel_of(home), venue_.addressing)}, card.source});
            if (venue_.addressing.source_specific && !card.source) sourceless.insert(h.card);
        }
        for (const auto card : sourceless)
            findings_.push_back({Severity::error, "addressing.no-source",
                                 "card " + venue_.cards[card].name,
                                 "its streams are joined by source, and it has none", "",
                                 "give the card a source", venue_.cards[card].place});
        check_ports(venue_, {channels.begin(), channels.end()}, findings_);
        return out;
    }

    const Venue& venue_;
    const Assignment& assignment_;
    const AddressHistory& history_;
    Findings& findings_;
    GroupPool pool_;
    std::vector<std::optional<Group>> groups_;  // by home
    std::vector<std::size_t> order_;
    std::vector<std::size_t> unnamed_;  // homes whose number made no group
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
