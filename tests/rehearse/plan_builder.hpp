// SPDX-License-Identifier: Apache-2.0
// Plan files as text, and the program that rehearses them.
#pragma once

#include <fmt/format.h>

#include "flows.hpp"
#include "mastline/text/escape.hpp"
#include "support/paths.hpp"
#include "support/run_command.hpp"
#include "support/temp_folder.hpp"

namespace mastline::test {

inline std::string flow_text(const Expectation& flow) {
    std::string components;
    for (const auto& c : flow.components)
        components += fmt::format(
            "{}{{pid = {}, kind = \"{}\"{}}}", components.empty() ? "" : ", ", c.pid.value(),
            c.kind, c.language.empty() ? "" : fmt::format(", language = \"{}\"", c.language));
    return fmt::format(
        "\n[[flow]]\nchannel = \"{}\"\ncopy = {}\nname = {}\ngroup = \"{}\"\nport = "
        "{}\n{}encapsulation = \"{}\"\n"
        "packets_per_datagram = {}\nrate = \"{} bit/s\"\nrate_low = \"1 bit/s\"\nrate_high = \"1 "
        "Gbit/s\"\n"
        "ttl = {}\ndscp = {}\ntransport_stream_id = {}\nprogram_number = {}\nservice_name = "
        "{}\nprovider = {}\n"
        "pmt_pid = {}\npcr_pid = {}\ncomponent = [{}]\nparts = []\n",
        flow.channel, flow.copy, toml_string(flow.name), to_text(flow.flow.group),
        flow.flow.port.number,
        flow.source ? fmt::format("source = \"{}\"\n", to_text(*flow.source)) : "",
        flow.encapsulation == Encapsulation::rtp ? "rtp" : "udp", flow.packets_per_datagram,
        flow.rate.bits_per_second(), flow.ttl, flow.dscp, flow.transport_stream_id,
        flow.program_number.value, toml_string(flow.service_name), toml_string(flow.provider),
        flow.pmt_pid.value(), flow.pcr_pid.value(), components);
}

inline std::string plan_text(const std::vector<Expectation>& flows) {
    std::string out = "schema = \"mastline-plan 1\"\nvenue = \"Test\"\nrevision = \"abc\"\n";
    for (const auto& flow : flows) out += flow_text(flow);
    return out;
}

inline std::string rehearse_program() {
    return MASTLINE_BINARY_DIR "/tools/rehearse/mastline-rehearse";
}

// Both outputs together.
inline CommandResult run_rehearse(const std::string& arguments) {
    return run_command(rehearse_program() + " " + arguments + " 2>&1");
}

// Every way of carrying a component, in five programmes.
inline std::vector<Expectation> every_kind() {
    const auto make = [](int number, std::string name, double mbps,
                         std::vector<ExpectedComponent> components) {
        Expectation flow = television();
        flow.channel = std::to_string(number);
        flow.name = flow.service_name = std::move(name);
        flow.flow.group =
            *Group::of(IpAddress::v4(0xEFC00100U + static_cast<std::uint32_t>(number)));
        flow.rate = megabits_per_second(mbps);
        flow.program_number = {static_cast<std::uint16_t>(500 + number)};
        flow.components = std::move(components);
        return flow;
    };
    std::vector<Expectation> out{make(1, "Harbour News", 8,
                                      {{Pid(257), "h264", ""},
                                       {Pid(258), "aac", "eng"},
                                       {Pid(259), "teletext", "eng"},
                                       {Pid(260), "subtitles", "deu"},
                                       {Pid(261), "scte35", ""}}),
                                 make(2, "Zürich Hafen", 4,
                                      {{Pid(257), "mpeg2-video", ""},
                                       {Pid(258), "mpeg1-audio", "eng"},
                                       {Pid(259), "ac3", "fra"}}),
                                 make(3, "Mole", 15.5,
                                      {{Pid(257), "hevc", ""},
                                       {Pid(258), "eac3", "eng"},
                                       {Pid(259), "aac-latm", "eng"},
                                       {Pid(260), "private-data", ""}}),
                                 make(4, "Radio Mole", 0.5, {{Pid(257), "mpeg1-audio", "spa"}}),
                                 make(5, "Dock", 3,
                                      {{Pid(257), "mpeg1-video", ""},
                                       {Pid(258), "mpeg2-audio", "eng"},
                                       {Pid(259), "ac3-atsc", "eng"},
                                       {Pid(260), "eac3-atsc", "spa"},
                                       {Pid(261), "private-sections", ""}})};
    out[1].encapsulation = Encapsulation::rtp;
    out[2].pcr_pid = Pid(300);
    return out;
}

}  // namespace mastline::test
