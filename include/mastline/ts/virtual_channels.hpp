// SPDX-License-Identifier: Apache-2.0
// Of ATSC A/65: the virtual channel tables (terrestrial 0xC8, cable 0xC9; clause 6.3) and which PIDs
// the master guide table (0xC7; clause 6.2) refers to.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "mastline/bytes/parsed.hpp"
#include "mastline/mpeg/pid.hpp"
#include "mastline/ts/section.hpp"
#include "mastline/ts/service_location.hpp"

namespace mastline {

struct VirtualChannels {
    struct Channel {
        std::string short_name;  // UTF-8
        std::string long_name;   // extended_channel_name_descriptor (A/65 6.9.4); UTF-8, empty: none
        std::uint16_t major = 0, minor = 0;
        std::uint16_t channel_tsid = 0;
        ProgramNumber program_number;
        std::uint8_t etm_location = 0;  // extended text of the channel: 0 none, 1 in this stream, 2 in channel_tsid
        bool access_controlled = false;
        bool hidden = false;
        bool out_of_band = false;  // cable: carried outside this transport stream
        std::uint8_t service_type = 0;
        std::optional<ServiceLocation> location;
        // A/65 6.3.1: 0 is no channel now, 0xFFFF an analogue one.
        bool is_programme() const { return program_number.value != 0 && program_number.value != 0xFFFF && !out_of_band; }
        bool operator==(const Channel&) const = default;
    };
    std::uint16_t transport_stream_id = 0;
    std::vector<Channel> channels;
    bool operator==(const VirtualChannels&) const = default;
};

Parsed<VirtualChannels> parse_virtual_channels(const Section& section);

// "5.1"; "612" where a one-part number is meant (major 1008 to 1023, A/65 6.3.2).
std::string number_text(const VirtualChannels::Channel& channel);

Parsed<std::vector<Pid>> parse_master_guide_pids(const Section& section);

}  // namespace mastline
