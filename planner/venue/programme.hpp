// SPDX-License-Identifier: Apache-2.0
// The keys that services and in-house inputs share: what the programme is.
#pragma once

#include <array>

#include "mastline/text/table_reader.hpp"
#include "mastline/venue/channels.hpp"
#include "planner/venue/key_docs.hpp"

namespace mastline {

inline constexpr std::array<KeyDoc, 3> kProgrammeComponentKeys{{
    {"pid", "whole number", true, "PID of the component, 32 to 8190."},
    {"kind", "stream kind", true, "What it is: h264, mpeg2-audio, ac3, teletext, ...; see Stream kinds."},
    {"language", "text", false, "ISO 639-2 language code, three letters."},
}};

// Reads each [[component]] and checks the PIDs within the programme. `doc` is the component's.
void read_components(TableReader& reader, const TableDoc& doc, Programme& programme);

// program_number, names, PIDs and rates of `reader`'s table; components are read before.
void read_programme(TableReader& reader, Programme& programme);

}  // namespace mastline
