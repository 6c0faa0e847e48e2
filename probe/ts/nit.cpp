// SPDX-License-Identifier: Apache-2.0
#include "mastline/ts/nit.hpp"

#include "mastline/ts/descriptor.hpp"
#include "mastline/ts/dvb_text.hpp"

namespace mastline {

Parsed<Nit> parse_nit(const Section& section) {
    const ByteView body = section.body;
    if ((section.table_id != 0x40 && section.table_id != 0x41) || !section.section_syntax_indicator)
        return ParseFault{"not a network information section", 0};
    if (body.size() < 4) return ParseFault{"section too short for its two loops", 8};
    Nit nit{.network_id = section.table_id_extension};
    const std::size_t info = read_u16(body, 0) & 0x0FFFU;
    if (4 + info > body.size()) return ParseFault{"network_descriptors_length exceeds the section", 8};
    const Descriptors all = parse_descriptors(body.subspan(2, info));
    if (const Descriptor* d = find_descriptor(all, 0x40)) nit.network_name = dvb_text(d->body);
    for (std::size_t at = 4 + info; at < body.size();) {
        if (at + 6 > body.size()) return ParseFault{"transport stream cut short", 8 + at};
        nit.streams.push_back({read_u16(body, at), read_u16(body, at + 2)});
        at += 6U + (read_u16(body, at + 4) & 0x0FFFU);
    }
    return nit;
}

}  // namespace mastline
