// SPDX-License-Identifier: Apache-2.0
// The tables of one programme as sections, and sections as transport packets.
#pragma once

#include <chrono>
#include <vector>

#include "mastline/expectation/expectation.hpp"
#include "tools/rehearse/ts/packet.hpp"

namespace mastline {

using Section = std::vector<std::byte>;
using UtcSeconds = std::chrono::sys_seconds;

Section pat_section(const Expectation& expectation);
Section pmt_section(const Expectation& expectation);
Section sdt_section(const Expectation& expectation);  // SDT actual
Section tdt_section(UtcSeconds time);
Section cue_section();      // SCTE 35 splice_null(): the heartbeat of a cue stream
Section private_section();  // table_id 0x80, user private

// UTC_time of EN 300 468 Annex C: modified Julian date, then hours, minutes, seconds in BCD.
// REQUIRES: out.size() >= 5
void write_utc_time(ByteSpan out, UtcSeconds time);

// The section behind a pointer_field of 0, the last packet filled up with 0xFF.
std::vector<Packet> section_packets(Pid pid, ByteView section);

}  // namespace mastline
