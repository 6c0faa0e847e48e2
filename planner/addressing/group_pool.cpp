// SPDX-License-Identifier: Apache-2.0
#include "planner/addressing/group_pool.hpp"

#include <numeric>

#include "mastline/addressing/allocate.hpp"
#include "planner/addressing/group_numbers.hpp"
#include "planner/addressing/group_rules.hpp"

namespace mastline {

namespace {

NumberSpan words_of(const GroupSpan& span) {
    return {last_word(span.first.address()), std::uint64_t{last_word(span.last.address())} + 1};
}

// The part of `span` that shares the version and the first 96 bits of `like`.
std::optional<GroupSpan> within_prefix(const GroupSpan& span, const Group& like) {
    const GroupSpan all = like.address().is_v4()
                              ? GroupSpan{*Group::of(IpAddress::v4(0xE0000000)),
                                          *Group::of(IpAddress::v4(0xEFFFFFFF))}
                              : GroupSpan{group_like(like, 0), group_like(like, 0xFFFFFFFF)};
    if (!overlap(span, all)) return std::nullopt;
    return GroupSpan{std::max(span.first, all.first), std::min(span.last, all.last)};
}

}  // namespace

GroupPool::GroupPool(const Venue& venue) {
    for (const auto& range : venue.addressing.ranges) {
        Usable usable{range.first, {}};
        usable.words.add(words_of(span_of(range)));
        for (const auto& rule : rules_touching(span_of(range), venue.addressing))
            if (rule.severity == Severity::error) usable.words.remove(words_of(rule.groups));
        for (const auto& reserved : venue.addressing.reserved)
            if (const auto part = within_prefix(span_of(reserved), range.first))
                usable.words.remove(words_of(*part));
        usable_.push_back(std::move(usable));
    }
    for (const auto& occupied : venue.occupied)
        for (const auto& macs : mac_spans(span_of(occupied.range))) taken_.add(macs);
}

bool GroupPool::is_free(const Group& group) const { return !taken_.contains(mac_number(group)); }

void GroupPool::take(const Group& group) {
    const auto number = mac_number(group);
    taken_.add({number, number + 1});
}

bool GroupPool::allows(std::size_t range, const Group& group) const {
    const auto& usable = usable_[range];
    const auto word = last_word(group.address());
    return group == group_like(usable.like, word) && usable.words.contains(word);
}

std::optional<Group> GroupPool::next(std::size_t range) const {
    const auto& usable = usable_[range];
    auto word = usable.words.next(0);
    while (word) {
        const Group group = group_like(usable.like, static_cast<std::uint32_t>(*word));
        const auto number = mac_number(group);
        const auto busy = taken_.run_with(number);
        if (!busy) return group;
        word = usable.words.next(*word + (busy->end - number));
    }
    return std::nullopt;
}

std::optional<Group> GroupPool::last(std::size_t range) const {
    const auto& usable = usable_[range];
    auto word = usable.words.last_up_to(0xFFFFFFFF);
    while (word) {
        const Group group = group_like(usable.like, static_cast<std::uint32_t>(*word));
        const auto number = mac_number(group);
        const auto busy = taken_.run_with(number);
        if (!busy) return group;
        const auto step = number - busy->first + 1;
        if (*word < step) return std::nullopt;
        word = usable.words.last_up_to(*word - step);
    }
    return std::nullopt;
}

std::optional<Group> GroupPool::with_mac(std::size_t range, std::uint64_t number) const {
    const auto& usable = usable_[range];
    const bool v4 = usable.like.address().is_v4();
    if (v4 != (number < kMacs4)) return std::nullopt;
    const std::uint64_t first = v4 ? 0xE0000000 + number : number - kMacs6;
    const std::uint64_t end = v4 ? 0xF0000000 : first + 1;
    for (auto word = first; word < end; word += kMacs4)
        if (usable.words.contains(word)) return group_like(usable.like, static_cast<std::uint32_t>(word));
    return std::nullopt;
}

std::uint64_t GroupPool::left() const {
    std::vector<std::size_t> all(usable_.size());
    std::iota(all.begin(), all.end(), std::size_t{0});
    return left(all);
}

std::uint64_t GroupPool::left(const std::vector<std::size_t>& ranges) const {
    IntervalSet macs;
    for (const auto range : ranges) {
        const auto& usable = usable_[range];
        for (const auto& [first, end] : usable.words.runs())
            for (const auto& span :
                 mac_spans({group_like(usable.like, static_cast<std::uint32_t>(first)),
                            group_like(usable.like, static_cast<std::uint32_t>(end - 1))}))
                macs.add(span);
    }
    for (const auto& [first, end] : taken_.runs()) macs.remove({first, end});
    return macs.count();
}

std::uint64_t group_capacity(const Venue& venue) { return GroupPool(venue).left(); }

}  // namespace mastline
