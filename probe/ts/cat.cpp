// SPDX-License-Identifier: Apache-2.0
#include "mastline/ts/cat.hpp"

namespace mastline {

Parsed<Cat> parse_cat(const Section& section) {
    if (section.table_id != 0x01 || !section.section_syntax_indicator)
        return ParseFault{"not a conditional access section", 0};
    return Cat{parse_descriptors(section.body)};
}

}  // namespace mastline
