// SPDX-License-Identifier: Apache-2.0
#include <array>

#include "mastline/text/table_reader.hpp"
#include "mastline/venue/picture_words.hpp"
#include "planner/venue/network_tables.hpp"

namespace mastline {

namespace {

constexpr std::array<KeyDoc, 18> kAddressingKeys{{
    {"range", "list of tables", true, "Groups that the lineup may use, in order of preference."},
    {"reserved", "list of groups or ranges", false, "Parts of the ranges that are kept free."},
    {"scopes", "list of ranges", false,
     "The site's own administrative scopes: the last 256 addresses of each stay free (RFC 2365)."},
    {"scheme", "one of: sequential, by-number, by-tag", false,
     "sequential (default): in channel order. by-number: the group shows the channel number, 101 "
     "as x.y.1.1 in a range of more than 256 groups, else as x.y.z.101; IPv6 ends in 8000:101; a number that makes no free group has "
     "the highest free one of the ranges. "
     "by-tag: from the range whose tag is the channel's genre or picture class."},
    {"port", "whole number", false, "UDP port of the streams; default 5004."},
    {"port_step", "whole number", false,
     "With n above 0 each channel has its own port: port + n x channel number; default 0."},
    {"dynamic_port_first", "whole number", false,
     "First port that hosts take at will; planned ports there are warned of; default 49152."},
    {"dynamic_port_last", "whole number", false, "Last of them; default 65535."},
    {"encapsulation", "one of: udp, rtp", false, "How transport packets ride; default udp."},
    {"packets_per_datagram", "whole number", false,
     "Transport packets in one datagram, 1 to 7; default 7."},
    {"fec", "table", false, "Forward error correction; RTP only."},
    {"source_specific", "true or false", false,
     "Displays join (source, group) (RFC 4607); default false."},
    {"as_number", "whole number", false, "The site's own AS number, for groups of 233/8."},
    {"own_prefixes", "list of prefixes", false,
     "The site's own unicast prefixes, for groups of 234/8 and of ff3x::/16."},
    {"ttl", "whole number", false, "TTL or hop limit of the streams, 1 to 255; default 16."},
    {"dscp", "whole number", false,
     "Differentiated services code point, 0 to 63; default 24 (CS3, RFC 4594)."},
    {"vlan", "whole number", false, "VLAN of the streams, 1 to 4094."},
    {"rest", "duration", false,
     "A group that was freed is given to no other channel before; default 30 days."},
}};

constexpr std::array<KeyDoc, 2> kRangeKeys{{
    {"groups", "groups", true,
     "\"239.192.0.0/16\", \"239.192.1.1-239.192.1.99\" or \"ff35::8000:0/112\"."},
    {"tag", "text", false, "Genre or picture class that the range is for, with scheme by-tag."},
}};

constexpr std::array<KeyDoc, 4> kFecKeys{{
    {"columns", "whole number", false, "L of the matrix, 1 to 20; default 10."},
    {"rows", "whole number", false, "D of the matrix, 4 to 20; default 10; L x D at most 100."},
    {"row_packets", "true or false", false,
     "Row packets as well as column packets (L is then at least 4); default true."},
    {"classes", "list of text", false,
     "Picture classes that get it: radio, SD, HD, UHD; default all."},
}};

constexpr std::array<KeyDoc, 2> kOccupiedKeys{{
    {"groups", "groups", true, "A group, or a range of groups, that the site uses already."},
    {"what", "text", false, "What uses it."},
}};

constexpr std::array<std::pair<std::string_view, GroupScheme>, 3> kSchemes{{
    {"sequential", GroupScheme::sequential},
    {"by-number", GroupScheme::by_number},
    {"by-tag", GroupScheme::by_tag},
}};

constexpr std::array<std::pair<std::string_view, Encapsulation>, 2> kEncapsulations{{
    {"udp", Encapsulation::udp},
    {"rtp", Encapsulation::rtp},
}};

// The IPv6 group is distinct on a switch by its last 32 bits alone.
bool spans_prefixes(const GroupSpan& span) {
    const auto& a = span.first.address();
    const auto& b = span.last.address();
    return !a.is_v4() && !std::equal(a.bytes().begin(), a.bytes().begin() + 12, b.bytes().begin());
}

std::optional<GroupRange> checked_range(TableReader& r, std::string_view key,
                                        const std::string& text, const Place& place) {
    const auto span = parse_group_span(text);
    if (!span) {
        r.fault("addressing.bad-range", place,
                "'" + std::string(key) + "': " + span.error().message, "");
        return std::nullopt;
    }
    return GroupRange{span->first, span->last, "", place};
}

std::vector<GroupRange> read_spans(TableReader& r, std::string_view key) {
    std::vector<GroupRange> out;
    for (const auto& [text, place] : r.texts(key))
        if (auto range = checked_range(r, key, text, place)) out.push_back(std::move(*range));
    return out;
}

void read_range(const tree::Table& table, AddressingPolicy& policy, Findings& findings) {
    TableReader r(table, kAddressRangeDoc, findings);
    const auto text = r.text("groups");
    const auto tag = r.text("tag");
    if (!text) return;
    auto range = checked_range(r, "groups", *text, r.place_of("groups"));
    if (!range) return;
    range->tag = tag.value_or("");
    if (spans_prefixes(span_of(*range)))
        r.fault("addressing.wide-ipv6-range", range->place,
                "'groups': \"" + *text + "\" is wider than the 32 bits that tell IPv6 groups apart",
                "name one prefix of 96 bits or more, such as \"ff35::8000:0/97\"");
    else
        policy.ranges.push_back(std::move(*range));
}

void read_fec(const tree::Table& table, AddressingPolicy& policy, Findings& findings) {
    TableReader r(table, kFecDoc, findings);
    FecPolicy fec;
    fec.row_packets = r.boolean("row_packets").value_or(true);
    fec.columns = static_cast<int>(
        r.integer("columns", fec.row_packets ? 4 : 1, 20).value_or(fec.columns));
    fec.rows = static_cast<int>(r.integer("rows", 4, 20).value_or(fec.rows));
    if (fec.columns * fec.rows > 100)
        r.fault("addressing.fec-matrix", r.place(),
                "a matrix of " + std::to_string(fec.columns) + " x " + std::to_string(fec.rows) +
                    " has more than 100 datagrams",
                "make columns x rows 100 or less");
    for (const auto& [word, place] : r.texts("classes")) {
        if (const auto picture = picture_class_named(word)) fec.classes.push_back(*picture);
        else r.fault("file.unknown-word", place, "unknown picture class '" + word + "'",
                     suggestion(word, std::array{"radio", "SD", "HD", "UHD"}));
    }
    if (!r.has("classes")) fec.classes.assign(kPictureClasses.begin(), kPictureClasses.end());
    if (policy.encapsulation != Encapsulation::rtp)
        r.fault("addressing.fec-needs-rtp", r.place(), "FEC needs RTP",
                "set encapsulation = \"rtp\" or leave [addressing.fec] out");
    policy.fec = fec;
}

void read_stream_keys(TableReader& r, AddressingPolicy& p) {
    const auto whole = [&r](std::string_view key, int least, int most, int fallback) {
        return static_cast<int>(r.integer(key, least, most).value_or(fallback));
    };
    const auto port = [&](std::string_view key, UdpPort fallback) {
        return UdpPort{static_cast<std::uint16_t>(whole(key, 1, 65535, fallback.number))};
    };
    p.port = port("port", p.port);
    p.port_step = whole("port_step", 0, 1000, p.port_step);
    p.dynamic_first = port("dynamic_port_first", p.dynamic_first);
    p.dynamic_last = port("dynamic_port_last", p.dynamic_last);
    if (p.dynamic_last < p.dynamic_first)
        r.fault("addressing.dynamic-ports-backwards",
                r.place_of(r.has("dynamic_port_last") ? "dynamic_port_last" : "dynamic_port_first"),
                "the ports that hosts take at will end at " + std::to_string(p.dynamic_last.number) +
                    ", before their first, " + std::to_string(p.dynamic_first.number),
                "put the lower one first");
    p.encapsulation = r.choice<Encapsulation>("encapsulation", "encapsulation", kEncapsulations)
                          .value_or(p.encapsulation);
    p.packets_per_datagram = whole("packets_per_datagram", 1, 7, p.packets_per_datagram);
    p.source_specific = r.boolean("source_specific").value_or(p.source_specific);
    p.ttl = whole("ttl", 1, 255, p.ttl);
    p.dscp = whole("dscp", 0, 63, p.dscp);
    if (const auto vlan = r.integer("vlan", 1, 4094)) p.vlan = static_cast<int>(*vlan);
}

}  // namespace

const TableDoc kAddressingDoc{"[addressing]", "How groups and ports are given to the streams.",
                              kAddressingKeys};
const TableDoc kAddressRangeDoc{"[[addressing.range]]", "Groups that the lineup may use.",
                                kRangeKeys};
const TableDoc kFecDoc{"[addressing.fec]",
                       "Forward error correction: column packets on port + 2, row packets on "
                       "port + 4 of the same group.",
                       kFecKeys};
const TableDoc kOccupiedDoc{"[[occupied]]", "Groups that the site uses already.", kOccupiedKeys};

void read_addressing(const tree::Table& table, Venue& venue, Findings& findings) {
    TableReader r(table, kAddressingDoc, findings);
    auto& p = venue.addressing;
    p.place = r.place();
    for (const auto* t : r.tables("range")) read_range(*t, p, findings);
    p.reserved = read_spans(r, "reserved");
    p.scopes = read_spans(r, "scopes");
    p.scheme = r.choice<GroupScheme>("scheme", "addressing scheme", kSchemes).value_or(p.scheme);
    read_stream_keys(r, p);
    if (const auto as_number = r.integer("as_number", 1, 4294967295))
        p.as_number = static_cast<std::uint32_t>(*as_number);
    for (const auto& [text, place] : r.texts("own_prefixes")) {
        const auto prefix = parse_ip_prefix(text);
        if (prefix) p.own_prefixes.push_back(*prefix);
        else r.fault("addressing.bad-prefix", place, "'own_prefixes': " + prefix.error().message, "");
    }
    p.rest = r.quantity_at_least<Duration>("rest", Duration(0)).value_or(p.rest);
    for (const auto* t : r.tables("fec")) read_fec(*t, p, findings);
}

void read_occupied(const tree::Table& table, Venue& venue, Findings& findings) {
    TableReader r(table, kOccupiedDoc, findings);
    const auto text = r.text("groups");
    Occupied occupied;
    occupied.what = r.text("what").value_or("");
    if (!text) return;
    if (auto range = checked_range(r, "groups", *text, r.place_of("groups"))) {
        occupied.range = std::move(*range);
        venue.occupied.push_back(std::move(occupied));
    }
}

}  // namespace mastline
