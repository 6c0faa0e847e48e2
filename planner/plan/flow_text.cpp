// SPDX-License-Identifier: Apache-2.0
#include "planner/plan/flow_text.hpp"

namespace mastline {

namespace {

void write_stream(TomlText& out, const Expectation& flow) {
    out.text("group", to_text(flow.flow.group));
    out.integer("port", flow.flow.port.number);
    if (flow.source) out.text("source", to_text(*flow.source));
    if (flow.standby_source) out.text("standby_source", to_text(*flow.standby_source));
    if (flow.source_specific) out.boolean("source_specific", true);
    out.text("encapsulation", flow.encapsulation == Encapsulation::rtp ? "rtp" : "udp");
    out.integer("packets_per_datagram", flow.packets_per_datagram);
    out.text("rate", to_text(flow.rate));
    out.text("rate_low", to_text(flow.rate_low));
    out.text("rate_high", to_text(flow.rate_high));
    out.integer("ttl", flow.ttl);
    out.integer("dscp", flow.dscp);
    if (flow.vlan) out.integer("vlan", flow.vlan->number);
}

void write_programme(TomlText& out, const Expectation& flow) {
    out.integer("transport_stream_id", flow.transport_stream_id);
    out.integer("program_number", flow.program_number.value);
    out.text("service_name", flow.service_name);
    out.text_if("provider", flow.provider);
    out.integer("pmt_pid", flow.pmt_pid.value());
    out.integer("pcr_pid", flow.pcr_pid.value());
    if (flow.scrambling_allowed) out.boolean("scrambling_allowed", true);
}

void write_component(TomlText& out, const ExpectedComponent& component) {
    out.item("flow.component");
    out.integer("pid", component.pid.value());
    out.text("kind", component.kind);
    out.text_if("language", component.language);
}

}  // namespace

void write_flow(TomlText& out, const Expectation& flow, const Channel* channel) {
    out.item("flow");
    out.text("channel", flow.channel);
    if (flow.copy != 1) out.integer("copy", flow.copy);
    out.text("name", flow.name);
    if (channel != nullptr) {
        out.text("class", to_text(channel->picture));
        out.text_if("genre", channel->genre);
    }
    write_stream(out, flow);
    write_programme(out, flow);
    out.texts("parts", flow.parts);
    for (const auto& component : flow.components) write_component(out, component);
}

}  // namespace mastline
