// SPDX-License-Identifier: Apache-2.0
// Program association section (ISO/IEC 13818-1, 2.4.4.3): transport_stream_id, then
// program_number 16 | reserved 3 | network_PID or program_map_PID 13, repeated.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "mastline/bytes/parsed.hpp"
#include "mastline/mpeg/pid.hpp"
#include "mastline/ts/section.hpp"

namespace mastline {

struct Pat {
    struct Entry {
        ProgramNumber program_number;
        Pid program_map_pid;
        bool operator==(const Entry&) const = default;
    };
    std::uint16_t transport_stream_id = 0;
    std::optional<Pid> network_pid;  // program_number 0
    std::vector<Entry> programmes;
    bool operator==(const Pat&) const = default;
};

Parsed<Pat> parse_pat(const Section& section);

}  // namespace mastline
