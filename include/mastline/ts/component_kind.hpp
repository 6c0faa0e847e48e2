// SPDX-License-Identifier: Apache-2.0
// What a component of a PMT is: by its stream_type, and where that is private by its descriptors.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "mastline/ts/pmt.hpp"

namespace mastline {

// What a display does with a component.
enum class Medium : std::uint8_t { video, audio, other };

// A name of kStreamKinds, one that no venue file uses ("opus", "dts", "mpeg4-video"), or "unknown".
std::string kind_of(const Pmt::Component& component, const Descriptors& programme);

// Of a name that kind_of() gives; other where it is none.
Medium medium_of(std::string_view kind);

}  // namespace mastline
