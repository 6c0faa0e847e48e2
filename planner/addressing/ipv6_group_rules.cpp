// SPDX-License-Identifier: Apache-2.0
// An IPv6 group (RFC 4291 section 2.7, RFC 3306 section 4):
//
//   |   8    |  4   |  4  |    8     |  8   |     64         |    32    |
//   |11111111|0 R P T|scope| reserved | plen | network prefix | group ID |
#include "planner/addressing/ipv6_group_rules.hpp"

#include "planner/addressing/group_numbers.hpp"

namespace mastline {

namespace {

struct Shape {
    bool reserved_flag, rendezvous, prefix_based, transient;
    int scope;
    int reserved, prefix_length;
    IpAddress prefix;        // of the 64 bits, the rest zero
    bool prefix_is_zero;
};

Shape shape_of(const IpAddress& a) {
    const auto& b = a.bytes();
    std::array<std::uint8_t, 16> prefix{};
    std::copy(b.begin() + 4, b.begin() + 12, prefix.begin());
    const auto network = IpAddress::v6(prefix);
    return {(b[1] & 0x80) != 0, (b[1] & 0x40) != 0, (b[1] & 0x20) != 0, (b[1] & 0x10) != 0,
            b[1] & 0x0F, b[2], b[3], network, network.is_unspecified()};
}

class Ipv6Rules {
public:
    explicit Ipv6Rules(const GroupSpan& span) : span_(span) {}
    void whole(Severity severity, std::string id, std::string what, std::string cure) {
        found.push_back({span_, severity, false, std::move(id), std::move(what), std::move(cure)});
    }
    // The groups of the span whose id lies in first..last.
    void ids(std::uint32_t first, std::uint32_t last, std::string id, std::string what,
             std::string cure) {
        const GroupSpan hit{group_like(span_.first, first), group_like(span_.first, last)};
        if (!overlap(hit, span_)) return;
        found.push_back({{std::max(hit.first, span_.first), std::min(hit.last, span_.last)},
                         Severity::error, true, std::move(id), std::move(what), std::move(cure)});
    }
    std::vector<GroupRule> found;

private:
    GroupSpan span_;
};

// RFC 4291 section 2.7, RFC 7346 section 2.
void add_scope(Ipv6Rules& rules, int scope) {
    const std::string shown = "has scope " + std::to_string(scope);
    const std::string cure = "take scope 5 (site) or 8 (organisation)";
    if (scope == 0 || scope == 15)
        rules.whole(Severity::error, "addressing.ipv6-scope", shown + ", which is reserved", cure);
    else if (scope == 1)
        rules.whole(Severity::error, "addressing.ipv6-scope",
                    shown + ", which never leaves the sender", cure);
    else if (scope == 2)
        rules.whole(Severity::warning, "addressing.ipv6-scope", shown + ", which no router passes on",
                    cure);
    else if (scope == 6 || scope == 7 || (scope >= 9 && scope <= 13))
        rules.whole(Severity::note, "addressing.ipv6-scope",
                    shown + ", which the site must define itself (RFC 7346)", cure);
}

bool is_own(const Shape& s, const AddressingPolicy& policy) {
    for (const auto& own : policy.own_prefixes)
        if (own.length <= s.prefix_length && contains(own, s.prefix)) return true;
    return false;
}

// RFC 3956 section 4: the lower half of the reserved byte and the prefix make the rendezvous point's address.
void add_rendezvous(Ipv6Rules& rules, const Shape& s) {
    const std::string id = "addressing.ipv6-rendezvous";
    if ((s.reserved & 0xF) == 0)
        rules.whole(Severity::error, id, "names a rendezvous point with the interface id 0 (RFC 3956)",
                    "write ff7x:0ILL with I, the last digit of its address, 1 to f");
    if (s.prefix_length == 0)
        rules.whole(Severity::error, id, "names a rendezvous point without its prefix (RFC 3956)",
                    "write ff7x:0ILL with LL the length of the prefix");
}

// RFC 3306 section 4, RFC 4607 section 1.
void add_prefix_based(Ipv6Rules& rules, const Shape& s, const AddressingPolicy& policy) {
    const std::string id = "addressing.ipv6-prefix";
    if ((s.rendezvous ? s.reserved >> 4 : s.reserved) != 0)
        rules.whole(Severity::error, id, "has reserved bits set after its scope (RFC 3306)",
                    s.rendezvous ? "write ff7x:0ILL" : "write ff3x:00LL");
    if (s.prefix_length > 64)
        rules.whole(Severity::error, id, "has a prefix length above 64 (RFC 3306)",
                    "write ff3x:00LL with LL the length of the unicast prefix");
    else if (detail::fill_host_bits(s.prefix, s.prefix_length, false) != s.prefix)
        rules.whole(Severity::error, id, "has prefix bits set beyond its prefix length (RFC 3306)",
                    s.prefix_length == 0 ? "source-specific groups are ff3x::/96"
                                         : "clear them, or give the true length");
    else if (s.prefix_length > 0 && !is_own(s, policy))
        rules.whole(Severity::note, "addressing.foreign-prefix",
                    "is made of a unicast prefix that is not given as the site's own (RFC 3306)",
                    "give own_prefixes, or take groups of ff15::/16");
    if (s.prefix_length == 0 && !s.rendezvous && !policy.source_specific)
        rules.whole(Severity::error, "addressing.source-needed",
                    "is source-specific (ff3x::/32, RFC 4607), but the displays join without a "
                    "source",
                    "set source_specific = true and give every card a source");
}

void add_flags(Ipv6Rules& rules, const Shape& s) {
    const std::string id = "addressing.ipv6-flags";
    if (s.reserved_flag)
        rules.whole(Severity::error, id, "has the first flag set, which must be 0 (RFC 4291)",
                    "take groups of ff15::/16");
    if (!s.transient)
        rules.whole(Severity::error, id,
                    "has the T flag clear: permanent groups are assigned by the registry (RFC 4291)",
                    "take groups of ff15::/16");
    if (s.rendezvous && !(s.prefix_based && s.transient))
        rules.whole(Severity::error, id, "has R set without P and T (RFC 3956)",
                    "take groups of ff7x::/16");
}

}  // namespace

std::vector<GroupRule> ipv6_rules_touching(const GroupSpan& span, const AddressingPolicy& policy) {
    const Shape s = shape_of(span.first.address());
    Ipv6Rules rules(span);
    add_flags(rules, s);
    add_scope(rules, s.scope);
    if (s.prefix_based && s.rendezvous) add_rendezvous(rules, s);
    if (s.prefix_based) add_prefix_based(rules, s, policy);
    if (policy.source_specific && !(s.prefix_based && !s.rendezvous && s.prefix_length == 0))
        rules.whole(Severity::note, "addressing.source-specific-elsewhere",
                    "is joined by source, yet outside ff3x::/96 (RFC 4607)", "take groups of ff3x::/96");
    rules.ids(0, 0xFF, "addressing.control-mac", "maps to 33:33:00:00:00:xx, used by control traffic",
              "take a group id from 8000:0 on");
    rules.ids(0x100, 0x7FFFFFFF, "addressing.group-id",
              "has a group id below 8000:0, which RFC 3307 keeps for permanent groups",
              "take a group id from 8000:0 on");
    rules.ids(0xFF000000, 0xFFFFFFFF, "addressing.control-mac",
              "maps to 33:33:ff:xx:xx:xx, used to find neighbours (RFC 4861)",
              "take a group id below ff00:0");
    return rules.found;
}

}  // namespace mastline
