// SPDX-License-Identifier: Apache-2.0
// The keys of the plan file (plan.toml) that planner, probe and rehearsal share. The planner writes
// further tables (levels, settings, loads) for people and for re-planning; readers of expectations
// pass over them.
#pragma once

#include <array>

#include "mastline/text/table_doc.hpp"

namespace mastline {

inline constexpr std::string_view kPlanSchema = "mastline-plan 1";

inline constexpr std::array<KeyDoc, 5> kPlanKeys{{
    {"schema", "text", true, "The format of this file: \"mastline-plan 1\"."},
    {"venue", "text", true, "Name of the venue."},
    {"revision", "text", true, "Hash of the plan's content."},
    {"flow", "list of tables", true, "One per stream to be sent, in channel order."},
    {"planner", "table", false, "Everything else the planner knows; not read by probe or rehearsal."},
}};

inline constexpr std::array<KeyDoc, 27> kFlowKeys{{
    {"channel", "text", true, "Channel number, \"101\" or \"5.1\"."},
    {"copy", "whole number", false, "2 for the second carriage of a protected channel; default 1."},
    {"name", "text", true, "Channel name in the lineup."},
    {"group", "multicast group", true, "Where the stream is sent."},
    {"port", "whole number", true, "UDP destination port."},
    {"source", "IP address", false, "Sender."},
    {"standby_source", "IP address", false, "Sender to the same group once the first is lost; silent till then."},
    {"source_specific", "true or false", false, "Displays join (source, group); default false."},
    {"encapsulation", "one of: udp, rtp", true, "How transport packets ride in UDP."},
    {"packets_per_datagram", "whole number", true, "Transport packets in one datagram, 1 to 7."},
    {"rate", "bit rate", true, "Transport rate, null packets included."},
    {"rate_low", "bit rate", true, "Least measured rate that is right."},
    {"rate_high", "bit rate", true, "Greatest measured rate that is right."},
    {"ttl", "whole number", true, "TTL or hop limit as sent, 1 to 255."},
    {"dscp", "whole number", true, "Differentiated services code point as sent, 0 to 63."},
    {"vlan", "whole number", false, "VLAN of the stream, 1 to 4094; none: the plan names none."},
    {"transport_stream_id", "whole number", true, "transport_stream_id of the PAT."},
    {"program_number", "whole number", true, "program_number of the PAT, 1 to 65535."},
    {"service_name", "text", true, "Service name of the SDT."},
    {"provider", "text", false, "Provider name of the SDT."},
    {"pmt_pid", "whole number", true, "PID of the PMT."},
    {"pcr_pid", "whole number", true, "PID that carries the PCR."},
    {"scrambling_allowed", "true or false", false, "Scrambled components are right; default false."},
    {"component", "list of tables", true, "One per elementary stream of the programme."},
    {"parts", "list of text", true, "Ids of the parts this flow rests on, from roof to switch."},
    {"class", "text", false, "Picture class of the channel: SD, HD, UHD."},
    {"genre", "text", false, "Genre tag of the channel."},
}};

inline constexpr std::array<KeyDoc, 3> kComponentKeys{{
    {"pid", "whole number", true, "PID of the component."},
    {"kind", "stream kind", true, "What it is: h264, mpeg2-audio, ac3, teletext, ..."},
    {"language", "text", false, "ISO 639-2 language code, three letters."},
}};

inline constexpr TableDoc kPlanDoc{"plan", "The plan file.", kPlanKeys};
inline constexpr TableDoc kFlowDoc{"[[flow]]", "One stream to be sent.", kFlowKeys};
inline constexpr TableDoc kComponentDoc{"[[flow.component]]", "One component.", kComponentKeys};

}  // namespace mastline
