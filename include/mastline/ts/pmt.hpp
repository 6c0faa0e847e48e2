// SPDX-License-Identifier: Apache-2.0
// Program map section (ISO/IEC 13818-1, 2.4.4.8): reserved 3 | PCR_PID 13 | reserved 4 |
// program_info_length 12 | descriptors, then stream_type 8 | reserved 3 | elementary_PID 13 |
// reserved 4 | ES_info_length 12 | descriptors, repeated.
#pragma once

#include <optional>
#include <vector>

#include "mastline/bytes/parsed.hpp"
#include "mastline/mpeg/pid.hpp"
#include "mastline/ts/descriptor.hpp"
#include "mastline/ts/section.hpp"

namespace mastline {

struct Pmt {
    struct Component {
        StreamType stream_type;
        Pid elementary_pid;
        Descriptors descriptors;
        bool operator==(const Component&) const = default;
    };
    ProgramNumber program_number;
    std::optional<Pid> pcr_pid;  // none: 0x1FFF
    Descriptors descriptors;
    std::vector<Component> components;
    bool operator==(const Pmt&) const = default;
};

Parsed<Pmt> parse_pmt(const Section& section);

}  // namespace mastline
