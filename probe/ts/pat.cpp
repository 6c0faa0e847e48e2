// SPDX-License-Identifier: Apache-2.0
#include "mastline/ts/pat.hpp"

namespace mastline {

Parsed<Pat> parse_pat(const Section& section) {
    if (section.table_id != 0x00 || !section.section_syntax_indicator)
        return ParseFault{"not a program association section", 0};
    if (section.body.size() % 4 != 0) return ParseFault{"length is no multiple of 4", 1};
    Pat pat{.transport_stream_id = section.table_id_extension};
    for (std::size_t at = 0; at < section.body.size(); at += 4) {
        const ProgramNumber number{read_u16(section.body, at)};
        const Pid pid(read_u16(section.body, at + 2));
        if (number.value == 0) pat.network_pid = pid;
        else pat.programmes.push_back({number, pid});
    }
    return pat;
}

}  // namespace mastline
