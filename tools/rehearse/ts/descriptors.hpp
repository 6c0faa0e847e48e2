// SPDX-License-Identifier: Apache-2.0
// The descriptors that a PMT and an SDT need to name what they carry.
#pragma once

#include <string>
#include <string_view>

#include "mastline/expectation/expectation.hpp"
#include "mastline/mpeg/stream_kind.hpp"
#include "tools/rehearse/ts/byte_writer.hpp"

namespace mastline {

// Text as EN 300 468 Annex A writes it: printable ASCII as it is (table 00), else UTF-8 behind the
// selector 0x15.
std::string dvb_text(std::string_view utf8);

// What a component's loop in the PMT holds.
ByteWriter component_descriptors(const StreamKind& kind, std::string_view language);

// What the programme's loop in the PMT holds: the registration that SCTE 35 asks for.
ByteWriter programme_descriptors(const Expectation& expectation);

// EN 300 468, 6.2.33. REQUIRES: the two texts as dvb_text() are at most 250 bytes together
ByteWriter service_descriptor(const Expectation& expectation);

}  // namespace mastline
