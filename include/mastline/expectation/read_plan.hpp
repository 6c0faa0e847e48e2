// SPDX-License-Identifier: Apache-2.0
// Expectations out of a plan file's tree. Pure: the caller reads the file (toml_tree.hpp).
#pragma once

#include <optional>
#include <string>

#include "mastline/expectation/expectation.hpp"
#include "mastline/expectation/plan_keys.hpp"
#include "mastline/mpeg/stream_kind.hpp"
#include "mastline/text/table_reader.hpp"

namespace mastline {

namespace detail {

inline Pid read_pid(TableReader& reader, std::string_view key) {
    return Pid(static_cast<std::uint16_t>(reader.integer(key, 0, 0x1FFE).value_or(0x1FFF)));
}

inline ExpectedComponent read_component(const tree::Table& table, Findings& findings) {
    TableReader reader(table, kComponentDoc, findings);
    ExpectedComponent out;
    out.pid = read_pid(reader, "pid");
    out.kind = reader.text("kind").value_or("");
    out.language = reader.text("language").value_or("");
    if (!out.kind.empty() && !stream_kind_named(out.kind)) {
        std::vector<std::string_view> known;
        for (const auto& kind : kStreamKinds) known.push_back(kind.name);
        reader.fault("plan.unknown-stream-kind", reader.place_of("kind"),
                     "unknown stream kind '" + out.kind + "'", suggestion(out.kind, known));
    }
    return out;
}

template <class Int>
Int read_int(TableReader& reader, std::string_view key, std::int64_t least, std::int64_t most) {
    return static_cast<Int>(reader.integer(key, least, most).value_or(least));
}

// None when the group is missing or wrong; a finding says so.
inline std::optional<Expectation> read_flow(const tree::Table& table, Findings& findings) {
    static constexpr std::array<std::pair<std::string_view, Encapsulation>, 2> encapsulations{
        {{"udp", Encapsulation::udp}, {"rtp", Encapsulation::rtp}}};
    TableReader reader(table, kFlowDoc, findings);
    const auto group = reader.quantity<Group>("group");
    const UdpPort port{read_int<std::uint16_t>(reader, "port", 1, 65535)};
    const auto channel = reader.text("channel");
    if (!group || !channel) return std::nullopt;
    Expectation out;
    out.flow = {*group, port};
    out.channel = *channel;
    out.copy = static_cast<int>(reader.integer("copy", 1, 2).value_or(1));
    out.name = reader.text("name").value_or("");
    out.source = reader.quantity<IpAddress>("source");
    out.standby_source = reader.quantity<IpAddress>("standby_source");
    out.source_specific = reader.boolean("source_specific").value_or(false);
    out.encapsulation =
        reader.choice<Encapsulation>("encapsulation", "encapsulation", encapsulations)
            .value_or(Encapsulation::udp);
    out.packets_per_datagram = read_int<int>(reader, "packets_per_datagram", 1, 7);
    out.rate = reader.quantity_at_least<BitRate>("rate", BitRate(1)).value_or(BitRate());
    out.rate_low = reader.quantity<BitRate>("rate_low").value_or(BitRate());
    out.rate_high = reader.quantity<BitRate>("rate_high").value_or(BitRate());
    out.ttl = read_int<int>(reader, "ttl", 1, 255);
    out.dscp = read_int<int>(reader, "dscp", 0, 63);
    if (const auto vlan = reader.integer("vlan", 1, 4094)) out.vlan = VlanId{static_cast<std::uint16_t>(*vlan)};
    out.transport_stream_id = read_int<std::uint16_t>(reader, "transport_stream_id", 0, 65535);
    out.program_number = {read_int<std::uint16_t>(reader, "program_number", 1, 65535)};
    out.service_name = reader.text("service_name").value_or("");
    out.provider = reader.text("provider").value_or("");
    out.pmt_pid = read_pid(reader, "pmt_pid");
    out.pcr_pid = read_pid(reader, "pcr_pid");
    out.scrambling_allowed = reader.boolean("scrambling_allowed").value_or(false);
    for (const auto* component : reader.tables("component"))
        out.components.push_back(read_component(*component, findings));
    for (auto& [part, place] : reader.texts("parts")) out.parts.push_back(part);
    return out;
}

}  // namespace detail

// None when the file is no plan or any finding of severity error was added.
inline std::optional<ExpectedLineup> read_plan(const tree::Table& root, Findings& findings) {
    const std::size_t before = findings.size();
    TableReader reader(root, kPlanDoc, findings);
    const auto schema = reader.text("schema");
    if (schema && *schema != kPlanSchema) {
        reader.fault("plan.unknown-schema", reader.place_of("schema"),
                     "the schema is \"" + *schema + "\"",
                     "this program reads \"" + std::string(kPlanSchema) + "\"");
        return std::nullopt;
    }
    ExpectedLineup out;
    out.venue = reader.text("venue").value_or("");
    out.revision = reader.text("revision").value_or("");
    for (const auto* flow : reader.tables("flow"))
        if (auto expectation = detail::read_flow(*flow, findings))
            out.flows.push_back(std::move(*expectation));
    if (findings.size() != before) return std::nullopt;
    return out;
}

}  // namespace mastline
