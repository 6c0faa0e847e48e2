// SPDX-License-Identifier: Apache-2.0
#include "planner/addressing/group_rules.hpp"

#include <array>
#include <optional>

#include "planner/addressing/group_numbers.hpp"
#include "planner/addressing/ipv6_group_rules.hpp"

namespace mastline {

namespace {

struct Block {
    std::uint32_t first, last;
    Severity severity;
    bool hole;
    std::string_view id, what, cure;
};

constexpr std::string_view kUseAdmin = "take groups of 239.0.0.0/8 (RFC 2365)";

// RFC 5771 section 3, RFC 6676 section 2, RFC 2365 sections 6 and 9, RFC 4607 section 1.
constexpr std::array<Block, 14> kBlocks{{
    {0xE0000000, 0xE00000FF, Severity::error, false, "addressing.control-block",
     "is of the local network control block 224.0.0.0/24, which switches flood", kUseAdmin},
    {0xE0000100, 0xE00001FF, Severity::error, false, "addressing.control-block",
     "is of the internetwork control block 224.0.1.0/24", kUseAdmin},
    {0xE0000200, 0xE000FFFF, Severity::warning, false, "addressing.assigned-block",
     "is of an ad hoc block, assigned by the registry on request (RFC 5771)", kUseAdmin},
    {0xE0010000, 0xE001FFFF, Severity::error, false, "addressing.reserved-block",
     "is of a block that RFC 5771 reserves", kUseAdmin},
    {0xE0020000, 0xE002FFFF, Severity::warning, false, "addressing.assigned-block",
     "is of the block for announced sessions, 224.2.0.0/16 (RFC 5771)", kUseAdmin},
    {0xE0030000, 0xE004FFFF, Severity::warning, false, "addressing.assigned-block",
     "is of an ad hoc block, assigned by the registry on request (RFC 5771)", kUseAdmin},
    {0xE0050000, 0xE7FFFFFF, Severity::error, false, "addressing.reserved-block",
     "is of a block that RFC 5771 reserves", kUseAdmin},
    {0xE8000000, 0xE80000FF, Severity::error, true, "addressing.reserved-block",
     "is of 232.0.0.0/24, which RFC 4607 reserves", "take a higher group of 232.0.0.0/8"},
    {0xE9FC0000, 0xE9FC00FF, Severity::warning, false, "addressing.documentation-block",
     "is of 233.252.0.0/24, kept for examples in documents (RFC 6676 section 2)", kUseAdmin},
    {0xE9FC0100, 0xE9FFFFFF, Severity::warning, false, "addressing.assigned-block",
     "is of an ad hoc block, assigned by the registry on request (RFC 5771)", kUseAdmin},
    {0xEB000000, 0xEEFFFFFF, Severity::error, false, "addressing.reserved-block",
     "is of a block that RFC 5771 reserves", kUseAdmin},
    {0xEFC3FF00, 0xEFC3FFFF, Severity::error, true, "addressing.relative-block",
     "is of the last 256 of the organisation's scope, kept for relative use (RFC 2365 section 9)",
     "take a lower group"},
    {0xEFFFFF00, 0xEFFFFFFF, Severity::error, true, "addressing.relative-block",
     "is of the last 256 of the local scope, kept for relative use (RFC 2365 section 9)",
     "take a lower group"},
    {0xE8000000, 0xE8FFFFFF, Severity::error, false, "addressing.source-needed",
     "is source-specific (232.0.0.0/8, RFC 4607), but the displays join without a source",
     "set source_specific = true and give every card a source"},
}};

constexpr GroupSpan span4(std::uint32_t first, std::uint32_t last) {
    return {*Group::of(IpAddress::v4(first)), *Group::of(IpAddress::v4(last))};
}

// Collects rules, each cut to the span asked about.
class Rules {
public:
    explicit Rules(const GroupSpan& span) : span_(span) {}
    void add(const GroupSpan& groups, Severity severity, bool hole, std::string_view id,
             std::string_view what, std::string_view cure) {
        if (!overlap(groups, span_)) return;
        found.push_back({{std::max(groups.first, span_.first), std::min(groups.last, span_.last)},
                         severity, hole, std::string(id), std::string(what), std::string(cure)});
    }
    // As add(), but for what of `groups` lies outside each span of `own`.
    void add_outside(const GroupSpan& groups, const std::vector<GroupSpan>& own, Severity severity,
                     std::string_view id, std::string_view what, std::string_view cure) {
        if (!overlap(groups, span_)) return;
        IntervalSet rest;
        rest.add({last_word(groups.first.address()), std::uint64_t{last_word(groups.last.address())} + 1});
        for (const auto& span : own)
            rest.remove({last_word(span.first.address()), std::uint64_t{last_word(span.last.address())} + 1});
        for (const auto& [first, end] : rest.runs())
            add(span4(static_cast<std::uint32_t>(first), static_cast<std::uint32_t>(end - 1)),
                severity, false, id, what, cure);
    }
    std::vector<GroupRule> found;

private:
    GroupSpan span_;
};

// RFC 3180: 233, the two bytes of the AS number, and 256 groups.
std::vector<GroupSpan> glop_of(const AddressingPolicy& policy) {
    if (!policy.as_number || *policy.as_number > 64511) return {};
    const std::uint32_t first = 0xE9000000U | (*policy.as_number << 8);
    return {span4(first, first | 0xFF)};
}

// RFC 6034: 234 and the first bits of the prefix; what is left of the 32 bits is free.
std::vector<GroupSpan> prefix_groups_of(const AddressingPolicy& policy) {
    std::vector<GroupSpan> out;
    for (const auto& prefix : policy.own_prefixes) {
        if (!prefix.address.is_v4() || prefix.length > 24) continue;
        const std::uint32_t first = 0xEA000000U | (prefix.address.v4_value() >> 8);
        out.push_back(span4(first, first | (0xFFFFFFU >> prefix.length)));
    }
    return out;
}

void add_ipv4(Rules& rules, const GroupSpan& span, const AddressingPolicy& policy) {
    for (const auto& b : kBlocks)
        if (b.id != "addressing.source-needed" || !policy.source_specific)
            rules.add(span4(b.first, b.last), b.severity, b.hole, b.id, b.what, b.cure);
    for (const auto& scope : policy.scopes)
        if (scope.last.address().is_v4())
            rules.add(span4(scope.last.address().v4_value() & ~0xFFU,
                            scope.last.address().v4_value()),
                      Severity::error, true, "addressing.relative-block",
                      "is of the last 256 of a scope, kept for relative use (RFC 2365 section 9)",
                      "take a lower group");
    rules.add_outside(span4(0xE9000000, 0xE9FBFFFF), glop_of(policy), Severity::note,
                      "addressing.foreign-glop",
                      "is a GLOP group (233.0.0.0/8, RFC 3180) of an AS number that is not given "
                      "as the site's own",
                      "give as_number, or take groups of 239.0.0.0/8");
    rules.add_outside(span4(0xEA000000, 0xEAFFFFFF), prefix_groups_of(policy), Severity::note,
                      "addressing.foreign-prefix",
                      "is made of a unicast prefix (234.0.0.0/8, RFC 6034) that is not given as "
                      "the site's own",
                      "give own_prefixes, or take groups of 239.0.0.0/8");
    if (policy.source_specific)
        rules.add_outside(span4(0xE0000000, 0xEFFFFFFF), {span4(0xE8000000, 0xE8FFFFFF)},
                          Severity::note, "addressing.source-specific-elsewhere",
                          "is joined by source, yet outside 232.0.0.0/8: routers may ask for a "
                          "rendezvous point (RFC 4607)",
                          "take groups of 232.0.0.0/8");
    // x.0.0.0/24 and x.128.0.0/24 of every x.
    const std::uint32_t from = span.first.address().v4_value(), to = span.last.address().v4_value();
    for (std::uint64_t at = from & ~(kMacs4 - 1); at <= to; at += kMacs4)
        rules.add(span4(static_cast<std::uint32_t>(at), static_cast<std::uint32_t>(at + 0xFF)),
                  Severity::error, true, "addressing.control-mac",
                  "maps to 01:00:5e:00:00:xx, which switches flood as 224.0.0.0/24 (RFC 4541)",
                  "take a group whose low 23 bits are 256 or more");
}

}  // namespace

std::vector<GroupRule> rules_touching(const GroupSpan& span, const AddressingPolicy& policy) {
    if (!span.first.address().is_v4()) return ipv6_rules_touching(span, policy);
    Rules rules(span);
    add_ipv4(rules, span, policy);
    return rules.found;
}

}  // namespace mastline
