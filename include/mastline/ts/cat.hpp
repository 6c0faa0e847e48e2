// SPDX-License-Identifier: Apache-2.0
// Conditional access section (ISO/IEC 13818-1, 2.4.4.6): descriptors, CA_descriptors above all.
#pragma once

#include "mastline/bytes/parsed.hpp"
#include "mastline/ts/descriptor.hpp"
#include "mastline/ts/section.hpp"

namespace mastline {

struct Cat {
    Descriptors descriptors;
    bool operator==(const Cat&) const = default;
};

Parsed<Cat> parse_cat(const Section& section);

}  // namespace mastline
