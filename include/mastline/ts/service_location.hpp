// SPDX-License-Identifier: Apache-2.0
// service_location_descriptor of a virtual channel (ATSC A/65, 6.9.5; tag 0xA1): where its components are.
//
//   reserved 3 | PCR_PID 13 | number_elements 8 |
//   per element: stream_type 8 | reserved 3 | elementary_PID 13 | ISO_639_language_code 24
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "mastline/mpeg/pid.hpp"
#include "mastline/ts/descriptor.hpp"

namespace mastline {

struct ServiceLocation {
    struct Element {
        StreamType stream_type;
        Pid pid;
        std::string language;  // ISO 639-2; empty: none is stated
        bool operator==(const Element&) const = default;
    };
    std::optional<Pid> pcr_pid;  // none: 0x1FFF
    std::vector<Element> elements;
    bool operator==(const ServiceLocation&) const = default;
};

// Of the first such descriptor; none where there is none, or it is shorter than it says.
std::optional<ServiceLocation> service_location_of(const Descriptors& all);

}  // namespace mastline
