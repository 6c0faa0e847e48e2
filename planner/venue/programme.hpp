// SPDX-License-Identifier: Apache-2.0
// The keys that services and in-house inputs share: what the programme is.
#pragma once

#include <array>
#include <cstddef>

#include "mastline/text/table_reader.hpp"
#include "mastline/venue/channels.hpp"

namespace mastline {

template <std::size_t A, std::size_t B>
constexpr std::array<KeyDoc, A + B> joined(const std::array<KeyDoc, A>& a,
                                           const std::array<KeyDoc, B>& b) {
    std::array<KeyDoc, A + B> out{};
    for (std::size_t i = 0; i < A; ++i) out[i] = a[i];
    for (std::size_t i = 0; i < B; ++i) out[A + i] = b[i];
    return out;
}

inline constexpr std::array<KeyDoc, 3> kProgrammeComponentKeys{{
    {"pid", "whole number", true, "PID of the component, 32 to 8190."},
    {"kind", "stream kind", true, "What it is: h264, mpeg2-audio, ac3, teletext, ..."},
    {"language", "text", false, "ISO 639-2 language code, three letters."},
}};

// Reads each [[component]] and checks the PIDs within the programme. `doc` is the component's.
void read_components(TableReader& reader, const TableDoc& doc, Programme& programme);

// program_number, names, PIDs and rates of `reader`'s table; components are read before.
void read_programme(TableReader& reader, Programme& programme);

}  // namespace mastline
