// SPDX-License-Identifier: Apache-2.0
// [[service]]: one programme of a carrier's transport stream.
#include "mastline/venue/venue.hpp"
#include "planner/venue/lineup_tables.hpp"
#include "planner/venue/programme.hpp"

namespace mastline {

namespace {

constexpr std::array<KeyDoc, 11> kServiceKeys{{
    {"name", "text", true, "Key by which channels refer to it; unique."},
    {"carrier", "name of a carrier", true, "The carrier whose transport stream it is in."},
    {"program_number", "whole number", true, "program_number of the PAT, 1 to 65535."},
    {"service_name", "text", false, "Service name of the SDT; default: name."},
    {"provider", "text", false, "Provider name of the SDT."},
    {"pmt_pid", "whole number", true, "PID of the PMT, 32 to 8190."},
    {"pcr_pid", "whole number", false, "PID with the PCR; default: that of the video, else the first."},
    {"rate", "bit rate", true, "Mean transport rate of the programme."},
    {"peak", "bit rate", false, "Greatest rate, where it varies; default: the mean rate."},
    {"scrambled", "true or false", false, "Arrives scrambled and stays so; default false."},
    {"component", "list of tables", true, "One per elementary stream."},
}};
constexpr TableDoc kComponentOfService{"[[service.component]]", "One elementary stream of the service.",
                                       kProgrammeComponentKeys};
constexpr TableDoc kServiceTable{"[[service]]", "One programme of a carrier's transport stream.",
                                 kServiceKeys};

void read_service(const tree::Table& table, Venue& venue, Findings& findings) {
    TableReader reader(table, kServiceTable, findings);
    Service out;
    out.place = reader.place();
    out.name = reader.text("name").value_or("");
    out.carrier = reader.text("carrier").value_or("");
    out.carrier_place = reader.place_of("carrier");
    read_components(reader, kComponentOfService, out.programme);
    read_programme(reader, out.programme);
    out.programme.scrambled = reader.boolean("scrambled").value_or(false);
    if (out.programme.service_name.empty()) out.programme.service_name = out.name;
    venue.services.push_back(std::move(out));
}

}  // namespace

VenueSection service_section() {
    return {"service", true, {&kServiceTable, &kComponentOfService}, read_service};
}

}  // namespace mastline
