// SPDX-License-Identifier: Apache-2.0
// Network information section (EN 300 468, 5.2.1), as far as a receiver's end needs it: the
// network's id and name, and which transport streams it lists.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "mastline/bytes/parsed.hpp"
#include "mastline/ts/section.hpp"

namespace mastline {

struct Nit {
    struct Stream {
        std::uint16_t transport_stream_id = 0;
        std::uint16_t original_network_id = 0;
        bool operator==(const Stream&) const = default;
    };
    std::uint16_t network_id = 0;
    std::string network_name;  // UTF-8, from the network_name_descriptor (tag 0x40)
    std::vector<Stream> streams;
    bool operator==(const Nit&) const = default;
};

Parsed<Nit> parse_nit(const Section& section);

}  // namespace mastline
