// SPDX-License-Identifier: Apache-2.0
// Event information section (EN 300 468, 5.2.4): transport_stream_id 16 | original_network_id 16 |
// segment_last_section_number 8 | last_table_id 8, then event_id 16 | start_time 40 | duration 24 |
// running_status 3 | free_CA_mode 1 | length 12 | descriptors, repeated.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "mastline/bytes/parsed.hpp"
#include "mastline/mpeg/pid.hpp"
#include "mastline/ts/section.hpp"
#include "mastline/units/ticks.hpp"

namespace mastline {

struct Eit {
    struct Event {
        std::uint16_t event_id = 0;
        std::string start_utc;  // empty: undefined (all bits one)
        std::optional<Duration> duration;
        std::string language, name;  // of the first short_event_descriptor (tag 0x4D); UTF-8
        bool operator==(const Event&) const = default;
    };
    ProgramNumber service_id;
    std::uint16_t transport_stream_id = 0;
    std::uint16_t original_network_id = 0;
    std::vector<Event> events;
    bool operator==(const Eit&) const = default;
};

Parsed<Eit> parse_eit(const Section& section);

}  // namespace mastline
