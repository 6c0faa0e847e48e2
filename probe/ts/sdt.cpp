// SPDX-License-Identifier: Apache-2.0
#include "mastline/ts/sdt.hpp"

#include "mastline/ts/descriptor.hpp"
#include "mastline/ts/dvb_text.hpp"

namespace mastline {

namespace {

// service_descriptor: service_type 8 | provider length 8 | provider | name length 8 | name.
void read_service_descriptor(ByteView body, Sdt::Service& service) {
    if (body.size() < 2) return;
    service.service_type = read_u8(body, 0);
    const std::size_t provider = read_u8(body, 1);
    if (2 + provider > body.size()) return;
    service.provider = dvb_text(body.subspan(2, provider));
    if (3 + provider > body.size()) return;
    const std::size_t name = read_u8(body, 2 + provider);
    if (3 + provider + name > body.size()) return;
    service.name = dvb_text(body.subspan(3 + provider, name));
}

}  // namespace

Parsed<Sdt> parse_sdt(const Section& section) {
    const ByteView body = section.body;
    if ((section.table_id != 0x42 && section.table_id != 0x46) || !section.section_syntax_indicator)
        return ParseFault{"not a service description section", 0};
    if (body.size() < 3) return ParseFault{"section too short for original_network_id", 8};
    Sdt sdt{.transport_stream_id = section.table_id_extension, .original_network_id = read_u16(body, 0)};
    for (std::size_t at = 3; at < body.size();) {
        if (at + 5 > body.size()) return ParseFault{"service cut short", 8 + at};
        const std::uint16_t word = read_u16(body, at + 3);
        const std::size_t length = word & 0x0FFFU;
        if (at + 5 + length > body.size())
            return ParseFault{"descriptors_loop_length exceeds the section", 8 + at};
        Sdt::Service service{.service_id = {read_u16(body, at)},
                             .free_ca_mode = (word & 0x1000U) != 0,
                             .running_status = static_cast<std::uint8_t>(word >> 13)};
        const Descriptors all = parse_descriptors(body.subspan(at + 5, length));
        if (const Descriptor* d = find_descriptor(all, 0x48)) read_service_descriptor(d->body, service);
        sdt.services.push_back(std::move(service));
        at += 5 + length;
    }
    return sdt;
}

}  // namespace mastline
