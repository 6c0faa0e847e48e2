// SPDX-License-Identifier: Apache-2.0
// What was seen of one programme (service) of a transport stream.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "mastline/mpeg/pid.hpp"
#include "mastline/stream/component_observation.hpp"
#include "mastline/ts/service_location.hpp"
#include "mastline/units/ticks.hpp"

namespace mastline {

// One event of the EIT present/following, texts as UTF-8.
struct EventObservation {
    std::uint16_t event_id = 0;
    std::string start_utc;  // "2026-11-25T18:00:00Z"; empty when undefined
    std::optional<Duration> duration;
    std::string language;
    std::string name;
    bool operator==(const EventObservation&) const = default;
};

// From the SDT of EN 300 468, or the virtual channel table of A/65.
struct ServiceObservation {
    std::string name;      // UTF-8
    std::string provider;  // UTF-8; empty in A/65
    std::uint8_t service_type = 0;
    std::string virtual_channel;  // "5.1" (A/65); empty in DVB
    bool free_ca_mode = false;    // SDT says scrambled
    std::string long_name;        // UTF-8; the extended channel name of A/65, empty in DVB
    std::optional<std::uint8_t> etm_location;  // of A/65: where extended text of the channel is; none in DVB
    std::optional<ServiceLocation> location;   // of A/65: where the virtual channel table says the components are
    bool operator==(const ServiceObservation&) const = default;
};

struct ProgrammeObservation {
    ProgramNumber program_number;
    std::optional<Pid> pmt_pid;  // none: described by a PMT or SDT only, not by the PAT
    bool pmt_seen = false;
    std::uint8_t pmt_version = 0;
    std::optional<Pid> pcr_pid;  // none: no PMT, or the PMT says there is none (0x1FFF)
    std::optional<ServiceObservation> service;
    std::vector<ComponentObservation> components;  // in the order of the PMT
    bool scrambled = false;  // packets of a component were scrambled
    std::optional<EventObservation> present;
    std::optional<EventObservation> following;
    // Start of the first access point after PAT and PMT were known: what a display that joins
    // with us can decode from. The packet's index, and its time when there is a time base.
    std::optional<std::uint64_t> first_access_packet;
    std::optional<Duration> first_access;
    bool operator==(const ProgrammeObservation&) const = default;
};

}  // namespace mastline
