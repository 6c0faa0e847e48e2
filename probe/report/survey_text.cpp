// SPDX-License-Identifier: Apache-2.0
#include "mastline/report/survey.hpp"

#include <algorithm>
#include <map>
#include <set>

#include "mastline/text/escape.hpp"
#include "mastline/text/joined.hpp"
#include "probe/report/terminal_text.hpp"

namespace mastline {

namespace {

std::string services_of(const FlowObservation& f) {
    if (f.fec != FecRole::none) return f.fec == FecRole::row ? "row FEC" : "column FEC";
    if (!f.stream) return "no transport stream";
    std::vector<std::string> names;
    for (const auto& p : f.stream->programmes)
        if (p.pmt_pid)
            names.push_back(p.service && !p.service->name.empty()
                                ? p.service->name
                                : "programme " + std::to_string(p.program_number.value));
    return names.empty() ? "no programme" : joined(names);
}

std::optional<BitRate> rate_of(const FlowObservation& f) {
    if (!f.stream) return std::nullopt;
    return f.stream->arrival_rate ? f.stream->arrival_rate : f.stream->rate;
}

std::string megabits(const FlowObservation& f) {
    const auto rate = rate_of(f);
    return rate ? fixed_text(static_cast<double>(rate->bits_per_second()) / 1e6, 2) : "-";
}

std::string sources_of(const FlowObservation& f) {
    std::vector<std::string> out;
    for (const auto& s : f.sources)
        if (std::ranges::find(out, to_text(s.address)) == out.end()) out.push_back(to_text(s.address));
    return joined(out);
}

std::string kind_of(const FlowObservation& f) {
    const auto kind = f.encapsulation();
    return !kind ? "other" : *kind == Encapsulation::rtp ? "RTP" : "UDP";
}

// How many hosts are members of each group.
std::map<Group, std::set<IpAddress>> members_by_group(const MembershipObservation& membership) {
    std::map<Group, std::set<IpAddress>> out;
    for (const auto& m : membership.members)
        if (!m.left) out[m.group].insert(m.address);
    return out;
}

// 224.0.0.0/24 (RFC 5771 section 4) and interface- and link-local IPv6 (RFC 7346) never leave the
// link: nothing for a plan to stay clear of.
bool is_local_control(const IpAddress& a) {
    if (a.is_v4()) return (a.v4_value() >> 8) == 0xE00000;
    return (a.bytes()[1] & 0x0F) <= 2;
}

}  // namespace

std::string terminal_survey(const SurveyReport& r, const TerminalStyle& style) {
    const auto members = members_by_group(r.membership);
    TextTable table({"group", "kind", "Mbit/s", "members", "from", "what"});
    for (const auto& f : r.flows) {
        const auto group = Group::of(f.destination.address);
        const auto found = group ? members.find(*group) : members.end();
        table.add({to_text(f.destination), kind_of(f), megabits(f),
                   std::to_string(found == members.end() ? 0 : found->second.size()), sources_of(f),
                   shown(services_of(f), style)},
                  f.stream ? Tint::good : Tint::doubtful);
    }
    std::string out = r.flows.empty() ? "no multicast datagrams\n" : table.text(style);
    for (const auto& q : r.membership.queriers)
        out += wrapped("querier " + to_text(q.address) + ", " + (q.ip == IpVersion::v4 ? "IGMPv" : "MLDv") +
                           std::to_string(q.version) + ", " + std::to_string(q.queries) + " queries",
                       0, 4, style);
    if (r.membership.queriers.empty()) out += "no query was heard\n";
    out += wrapped(std::to_string(r.flows.size()) + " flows, " + std::to_string(members.size()) +
                       " groups with members (watched " +
                       fixed_text(static_cast<double>(r.watched.count()) / 1e9, 1) + " s on " + r.where + ")",
                   0, 4, style);
    return out;
}

std::string occupied_toml(const SurveyReport& r) {
    std::map<Group, std::string> groups;
    for (const auto& [group, hosts] : members_by_group(r.membership)) groups[group] = "has members";
    for (const auto& f : r.flows)
        if (const auto group = Group::of(f.destination.address)) groups[*group] = services_of(f);
    std::string out;
    for (const auto& [group, what] : groups) {
        if (is_local_control(group.address())) continue;
        out += "[[occupied]]\ngroups = " + toml_string(to_text(group)) + "\nwhat = " + toml_string(what) + "\n\n";
    }
    return out;
}

std::string channels_csv(const SurveyReport& r) {
    std::string out = "number,name,group,port,remark\r\n";
    std::size_t number = 0;
    for (const auto& f : r.flows) {
        if (!f.stream) continue;
        for (const auto& p : f.stream->programmes) {
            if (!p.pmt_pid) continue;
            const std::string programme = "programme " + std::to_string(p.program_number.value);
            const bool named = p.service && !p.service->name.empty();
            const std::string of = p.service && !p.service->provider.empty() ? " of " + p.service->provider : "";
            out += std::to_string(++number) + "," + csv_field(named ? p.service->name : programme) + "," +
                   to_text(f.destination.address) + "," + std::to_string(f.destination.port.number) + "," +
                   csv_field(programme + of + " from " + sources_of(f) + " at " + megabits(f) + " Mbit/s") + "\r\n";
        }
    }
    return out;
}

}  // namespace mastline
