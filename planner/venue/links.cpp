// SPDX-License-Identifier: Apache-2.0
#include <array>

#include "mastline/text/table_reader.hpp"
#include "planner/venue/network_tables.hpp"
#include "planner/venue/read_rate.hpp"

namespace mastline {

namespace {

constexpr std::array<KeyDoc, 10> kLinkKeys{{
    {"name", "text", false, "Name of the link; default \"from/to\"."},
    {"from", "text", true, "Switch at one end."},
    {"to", "text", true, "Switch at the other end."},
    {"speed", "bit rate", true, "Of one member, full duplex."},
    {"members", "whole number", false, "Links bundled into this one, 1 to 16; default 1."},
    {"hash", "one of: unknown, mac, address, address-and-port", false,
     "How a bundle deals flows to its members; default unknown."},
    {"cost", "whole number", false,
     "Spanning tree path cost or routing metric; default 20 Tbit/s over the speed (IEEE 802.1D)."},
    {"keeps_cost", "true or false", false,
     "A bundle keeps its cost when a member fails; default true."},
    {"load_limit", "number", false, "Part of the speed that may be planned, 0 to 1; default 0.8."},
    {"tagged", "true or false", false,
     "Frames carry the VLAN tag, where [addressing] names a VLAN; default true."},
}};

constexpr std::array<std::pair<std::string_view, BundleHash>, 4> kHashes{{
    {"unknown", BundleHash::unknown},
    {"mac", BundleHash::mac},
    {"address", BundleHash::address},
    {"address-and-port", BundleHash::address_and_port},
}};

}  // namespace

const TableDoc kLinkDoc{"[[link]]", "A full-duplex link, or bundle of links, between two switches.",
                        kLinkKeys};

void read_link(const tree::Table& table, Venue& venue, Findings& findings) {
    TableReader r(table, kLinkDoc, findings);
    Link l;
    l.place = r.place();
    l.from_place = r.place_of("from");
    l.to_place = r.place_of("to");
    const auto from = r.text("from");
    const auto to = r.text("to");
    l.from = from.value_or("");
    l.to = to.value_or("");
    l.name = r.text("name").value_or("");
    if (l.name.empty()) l.name = l.from + "/" + l.to;
    l.speed = read_rate(r, "speed", BitRate(1000)).value_or(BitRate(0));
    l.members = static_cast<int>(r.integer("members", 1, 16).value_or(1));
    l.hash = r.choice<BundleHash>("hash", "bundle hash", kHashes).value_or(l.hash);
    if (const auto cost = r.integer("cost", 1, 200'000'000)) l.cost = static_cast<int>(*cost);
    l.keeps_cost = r.boolean("keeps_cost").value_or(l.keeps_cost);
    l.load_limit = r.number("load_limit", 0.01, 1).value_or(l.load_limit);
    l.tagged = r.boolean("tagged").value_or(l.tagged);
    if (from && to) venue.links.push_back(std::move(l));  // whatever its speed, it joins what it joins
}

}  // namespace mastline
