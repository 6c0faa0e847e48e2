// SPDX-License-Identifier: Apache-2.0
#include "mastline/ts/eit.hpp"

#include "mastline/ts/descriptor.hpp"
#include "mastline/ts/dvb_text.hpp"
#include "mastline/ts/dvb_time.hpp"

namespace mastline {

namespace {

// short_event_descriptor: ISO_639_language_code 24 | name length 8 | name | text length 8 | text.
void read_short_event(ByteView body, Eit::Event& event) {
    if (body.size() < 4) return;
    for (std::size_t i = 0; i < 3; ++i) event.language += static_cast<char>(read_u8(body, i));
    const std::size_t length = read_u8(body, 3);
    if (4 + length <= body.size()) event.name = dvb_text(body.subspan(4, length));
}

}  // namespace

Parsed<Eit> parse_eit(const Section& section) {
    const ByteView body = section.body;
    if (section.table_id < 0x4E || section.table_id > 0x6F || !section.section_syntax_indicator)
        return ParseFault{"not an event information section", 0};
    if (body.size() < 6) return ParseFault{"section too short for its ids", 8};
    Eit eit{.service_id = {section.table_id_extension},
            .transport_stream_id = read_u16(body, 0),
            .original_network_id = read_u16(body, 2)};
    for (std::size_t at = 6; at < body.size();) {
        if (at + 12 > body.size()) return ParseFault{"event cut short", 8 + at};
        const std::size_t length = read_u16(body, at + 10) & 0x0FFFU;
        if (at + 12 + length > body.size())
            return ParseFault{"descriptors_loop_length exceeds the section", 8 + at};
        Eit::Event event{.event_id = read_u16(body, at),
                         .start_utc = utc_text(body, at + 2),
                         .duration = bcd_duration(body, at + 7)};
        const Descriptors all = parse_descriptors(body.subspan(at + 12, length));
        if (const Descriptor* d = find_descriptor(all, 0x4D)) read_short_event(d->body, event);
        eit.events.push_back(std::move(event));
        at += 12 + length;
    }
    return eit;
}

}  // namespace mastline
