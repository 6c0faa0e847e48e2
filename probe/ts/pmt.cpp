// SPDX-License-Identifier: Apache-2.0
#include "mastline/ts/pmt.hpp"

#include "mastline/mpeg/stream_kind.hpp"

namespace mastline {

namespace {

// stream_type 6 says "private PES": a descriptor (EN 300 468 table 12) or a registered
// format_identifier says what is in it.
std::string kind_of_private_pes(const Descriptors& descriptors) {
    for (const auto& kind : kStreamKinds)
        if (kind.stream_type.value == 0x06 && kind.descriptor_tag != 0 &&
            find_descriptor(descriptors, kind.descriptor_tag) != nullptr)
            return std::string(kind.name);
    if (find_descriptor(descriptors, 0x7C) != nullptr) return "aac";  // AAC_descriptor
    const std::string format = registration_of(descriptors);
    if (format == "AC-3") return "ac3";
    if (format == "EAC3") return "eac3";
    if (format == "HEVC") return "hevc";
    return "private-data";
}

}  // namespace

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

std::string kind_of(const Pmt::Component& component, const Descriptors& programme) {
    const std::uint8_t type = component.stream_type.value;
    if (type == 0x06) return kind_of_private_pes(component.descriptors);
    // Where a format of its own is registered, the user private range means something else.
    if (type >= 0x80 && registration_of(programme) == "HDMV") return "unknown";
    for (const auto& kind : kStreamKinds)
        if (kind.stream_type.value == type) return std::string(kind.name);
    return "unknown";
}

}  // namespace mastline
