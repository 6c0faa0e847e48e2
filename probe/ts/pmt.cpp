// SPDX-License-Identifier: Apache-2.0
#include "mastline/ts/pmt.hpp"

namespace mastline {

Parsed<Pmt> parse_pmt(const Section& section) {
    const ByteView body = section.body;
    if (section.table_id != 0x02 || !section.section_syntax_indicator)
        return ParseFault{"not a program map section", 0};
    if (body.size() < 4) return ParseFault{"section too short for PCR_PID", 8};
    const Pid pcr_pid(read_u16(body, 0));
    Pmt pmt{.program_number = {section.table_id_extension}};
    if (pcr_pid != kNullPid) pmt.pcr_pid = pcr_pid;
    const std::size_t info = read_u16(body, 2) & 0x0FFFU;
    if (4 + info > body.size()) return ParseFault{"program_info_length exceeds the section", 10};
    pmt.descriptors = parse_descriptors(body.subspan(4, info));
    for (std::size_t at = 4 + info; at < body.size();) {
        if (at + 5 > body.size()) return ParseFault{"component cut short", 8 + at};
        const std::size_t length = read_u16(body, at + 3) & 0x0FFFU;
        if (at + 5 + length > body.size()) return ParseFault{"ES_info_length exceeds the section", 8 + at};
        pmt.components.push_back({StreamType{read_u8(body, at)}, Pid(read_u16(body, at + 1)),
                                  parse_descriptors(body.subspan(at + 5, length))});
        at += 5 + length;
    }
    return pmt;
}

}  // namespace mastline
