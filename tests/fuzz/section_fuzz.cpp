// SPDX-License-Identifier: Apache-2.0
// Any bytes taken for sections, whole or over packets, are read or refused, never more.
#include <cstddef>
#include <cstdint>

#include "mastline/ts/cat.hpp"
#include "mastline/ts/component_kind.hpp"
#include "mastline/ts/dvb_text.hpp"
#include "mastline/ts/dvb_time.hpp"
#include "mastline/ts/eit.hpp"
#include "mastline/ts/nit.hpp"
#include "mastline/ts/pat.hpp"
#include "mastline/ts/pmt.hpp"
#include "mastline/ts/sdt.hpp"
#include "mastline/ts/section_assembler.hpp"
#include "mastline/ts/virtual_channels.hpp"

using namespace mastline;

namespace {

void read_all(ByteView bytes) {
    const auto section = parse_section(bytes);
    if (!section) return;
    (void)section_crc_is_right(bytes);
    (void)parse_pat(*section);
    (void)parse_cat(*section);
    if (const auto pmt = parse_pmt(*section))
        for (const auto& c : pmt->components) (void)kind_of(c, pmt->descriptors), (void)languages_of(c.descriptors), (void)announces_stills(c.descriptors);
    (void)parse_sdt(*section);
    (void)parse_nit(*section);
    (void)parse_eit(*section);
    (void)parse_virtual_channels(*section);
    (void)parse_master_guide_pids(*section);
    (void)parse_time_table(*section);
    (void)parse_system_time_table(*section);
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const ByteView bytes = std::as_bytes(std::span(data, size));
    read_all(bytes);
    (void)dvb_text(bytes);
    SectionAssembler assembler;
    for (std::size_t at = 0; at < size; at += 184) {
        const ByteView payload = bytes.subspan(at, std::min<std::size_t>(184, size - at));
        assembler.feed(payload, (read_u8(payload, 0) & 1U) == 0, read_all, [](ByteView) {});
    }
    return 0;
}
