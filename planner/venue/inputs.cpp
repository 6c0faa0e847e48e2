// SPDX-License-Identifier: Apache-2.0
// [[input]]: one in-house source that an encoder card takes in.
#include "mastline/venue/venue.hpp"
#include "planner/venue/lineup_tables.hpp"
#include "planner/venue/programme.hpp"

namespace mastline {

namespace {

constexpr std::array<KeyDoc, 12> kInputKeys{{
    {"name", "text", true, "Key by which channels refer to it; unique."},
    {"position", "text", false, "Where the source stands."},
    {"connector", "text", true, "Plug of the source: hdmi, sdi, composite, ip, ..."},
    {"format", "text", false, "Picture format: 1080p50, 2160p60, ...; default: any."},
    {"program_number", "whole number", false, "program_number that the encoder is to send; default 1."},
    {"service_name", "text", false,
     "Service name of the SDT; default: the name of the first channel that shows the input."},
    {"provider", "text", false, "Provider name of the SDT."},
    {"pmt_pid", "whole number", false, "PID of the PMT, 32 to 8190; default 256."},
    {"pcr_pid", "whole number", false, "PID with the PCR; default: that of the video, else the first."},
    {"rate", "bit rate", true, "Transport rate that the encoder is to send."},
    {"peak", "bit rate", false, "Greatest rate, where it varies; default: the rate."},
    {"component", "list of tables", false,
     "One per elementary stream; default: h264 on PID 257 and aac on PID 258."},
}};
constexpr TableDoc kComponentOfInput{"[[input.component]]", "One elementary stream that the encoder is to send.",
                                     kProgrammeComponentKeys};
constexpr TableDoc kInputTable{"[[input]]", "One in-house source that an encoder card takes in.",
                               kInputKeys};

void read_input(const tree::Table& table, Venue& venue, Findings& findings) {
    TableReader reader(table, kInputTable, findings);
    HouseInput out;
    out.place = reader.place();
    out.name = reader.text("name").value_or("");
    out.position = reader.text("position").value_or("");
    out.connector = reader.text("connector").value_or("");
    out.format = reader.text("format").value_or("");
    out.programme.program_number = {1};
    out.programme.pmt_pid = Pid(256);
    read_components(reader, kComponentOfInput, out.programme);
    if (!reader.has("component"))
        out.programme.components = {{Pid(257), "h264", ""}, {Pid(258), "aac", ""}};
    read_programme(reader, out.programme);
    venue.inputs.push_back(std::move(out));
}

}  // namespace

VenueSection input_section() {
    return {"input", true, {&kInputTable, &kComponentOfInput}, read_input};
}

}  // namespace mastline
