// SPDX-License-Identifier: Apache-2.0
// Service description section (EN 300 468, 5.2.3): original_network_id 16 | reserved 8, then
// service_id 16 | reserved 6 | EIT flags 2 | running_status 3 | free_CA_mode 1 | length 12 |
// descriptors, repeated.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "mastline/bytes/parsed.hpp"
#include "mastline/mpeg/pid.hpp"
#include "mastline/ts/section.hpp"

namespace mastline {

struct Sdt {
    struct Service {
        ProgramNumber service_id;
        bool free_ca_mode = false;
        std::uint8_t running_status = 0;
        std::uint8_t service_type = 0;
        std::string provider, name;  // UTF-8, from the service_descriptor (tag 0x48)
        bool operator==(const Service&) const = default;
    };
    std::uint16_t transport_stream_id = 0;
    std::uint16_t original_network_id = 0;
    std::vector<Service> services;
    bool operator==(const Sdt&) const = default;
};

Parsed<Sdt> parse_sdt(const Section& section);

}  // namespace mastline
