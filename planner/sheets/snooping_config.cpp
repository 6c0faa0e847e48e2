// SPDX-License-Identifier: Apache-2.0
#include "mastline/sheets/snooping_config.hpp"

#include <algorithm>
#include <map>
#include <nlohmann/json.hpp>
#include <set>

#include "mastline/network/snooping_limits.hpp"
#include "mastline/text/shown_json.hpp"

namespace mastline {

namespace {

using nlohmann::ordered_json;

// Where frames from a switch leave towards the multicast routers: links by switch name.
using RouterPorts = std::map<std::string, std::set<std::string>>;

// Queriers are found by their queries; a router that lost the election need not show itself, so its
// ports are told (RFC 4541 section 2.1.1, rule 1).
RouterPorts router_ports(const Venue& venue, const NetworkLoad& load) {
    std::map<std::string, std::vector<const LinkLoad*>> from;
    for (const auto& l : load.links)
        if (!l.blocked && !l.to.empty()) from[l.from].push_back(&l);
    RouterPorts out;
    for (const auto& router : venue.switches) {
        if (!router.multicast_router) continue;
        std::vector<std::string> queue{router.name};
        std::set<std::string> reached{router.name};
        for (std::size_t i = 0; i < queue.size(); ++i)
            for (const auto* l : from[std::string(queue[i])]) {
                if (!reached.insert(l->to).second) continue;
                out[l->to].insert(l->link);
                queue.push_back(l->to);
            }
    }
    return out;
}

std::string file_name_of(const std::string& name, std::set<std::string>& used) {
    std::string safe;
    for (const char c : name) {
        const bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') ||
                           (c >= '0' && c <= '9') || c == '-' || c == '_';
        safe += plain ? c : '-';
    }
    std::string out = safe;
    for (int n = 2; !used.insert(out).second; ++n) out = safe + "-" + std::to_string(n);
    return out + ".json";
}

ordered_json interfaces_of(const Venue& venue, const Switch& s) {
    ordered_json list = ordered_json::array();
    for (const auto& link : venue.links) {
        if (link.from != s.name && link.to != s.name) continue;
        list.push_back({{"name", link.name},
                        {"description", "to " + (link.from == s.name ? link.to : link.from)},
                        {"type", link.members > 1 ? "iana-if-type:ieee8023adLag"
                                                  : "iana-if-type:ethernetCsmacd"}});
    }
    return list;
}

ordered_json instance_of(const Switch& s, const NetworkPolicy& n, IpVersion version,
                         const std::set<std::string>& ports) {
    ordered_json out;
    out["l2-service-type"] = "ietf-igmp-mld-snooping:bridge";
    out["enabled"] = s.snooping;
    out["send-query"] = s.querier;
    if (s.fast_leave) out["fast-leave"] = ordered_json::array({nullptr});  // RFC 7951, type empty
    if (const auto t = last_member_deciseconds(n)) out["last-member-query-interval"] = *t;
    if (const auto t = query_interval_seconds(n)) out["query-interval"] = *t;
    if (const auto t = query_response_deciseconds(n)) out["query-max-response-time"] = *t;
    out["robustness-variable"] = n.robustness;
    if (!ports.empty()) out["static-bridge-mrouter-interface"] = ports;
    // RFC 9166 counts MLD's versions: MLDv2 stands beside IGMPv3 (RFC 3810).
    if (version == IpVersion::v4) out["igmp-version"] = n.igmp_version;
    else out["mld-version"] = n.igmp_version >= 3 ? 2 : 1;
    if (s.querier && s.querier_address && s.querier_address->version() == version)
        out["querier-source"] = to_text(*s.querier_address);
    return out;
}

// 802.1Qcp writes addresses with hyphens.
std::string bridge_address(const MacAddress& mac) {
    std::string out = to_text(mac);
    std::replace(out.begin(), out.end(), ':', '-');
    return out;
}

ordered_json bridge_of(const Switch& s, std::optional<int> vlan, const ordered_json& bound) {
    ordered_json bridge;
    bridge["name"] = s.name;
    bridge["address"] = bridge_address(*s.mac);
    bridge["bridge-type"] = "ieee802-dot1q-bridge:customer-vlan-bridge";
    if (!vlan) {
        bridge.update(bound);
        return bridge;
    }
    ordered_json entry;
    entry["vid"] = *vlan;
    entry.update(bound);
    bridge["component"] = ordered_json::array(
        {{{"name", "bridge"},
          {"type", "ieee802-dot1q-bridge:c-vlan-component"},
          {"bridge-vlan", {{"vlan", ordered_json::array({entry})}}}}});
    return bridge;
}

ordered_json data_of(const Venue& venue, const Switch& s, const std::set<IpVersion>& versions,
                     const std::set<std::string>& ports) {
    ordered_json protocols = ordered_json::array();
    ordered_json bound;
    for (const auto version : versions) {
        const std::string word = version == IpVersion::v4 ? "igmp-snooping" : "mld-snooping";
        const std::string node = "ietf-igmp-mld-snooping:" + word + "-instance";
        ordered_json protocol;
        protocol["type"] = "ietf-igmp-mld-snooping:" + word;
        protocol["name"] = word;
        protocol[node] = instance_of(s, venue.network, version, ports);
        protocols.push_back(std::move(protocol));
        bound[node] = word;
    }
    ordered_json out;
    out["ietf-interfaces:interfaces"]["interface"] = interfaces_of(venue, s);
    out["ietf-routing:routing"]["control-plane-protocols"]["control-plane-protocol"] = protocols;
    if (s.mac)
        out["ieee802-dot1q-bridge:bridges"]["bridge"] =
            ordered_json::array({bridge_of(s, venue.addressing.vlan, bound)});
    return out;
}

}  // namespace

std::vector<SnoopingConfig> write_snooping_configs(const Venue& venue, const NetworkLoad& load) {
    std::set<IpVersion> versions;
    for (const auto& range : venue.addressing.ranges)
        versions.insert(range.first.address().version());
    for (const auto& channel : venue.channels)
        if (channel.group) versions.insert(channel.group->address().version());
    const auto ports = router_ports(venue, load);
    std::set<std::string> used;
    std::vector<SnoopingConfig> out;
    for (const auto& s : venue.switches) {
        const auto own = ports.find(s.name);
        const auto data = data_of(venue, s, versions, own == ports.end() ? std::set<std::string>{} : own->second);
        // Text of the venue that is no UTF-8 must not stop the whole plan.
        out.push_back({file_name_of(s.name, used),
                       shown_json(data)});
    }
    return out;
}

}  // namespace mastline
