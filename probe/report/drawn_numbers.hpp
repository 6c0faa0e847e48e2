// SPDX-License-Identifier: Apache-2.0
// Numbers as the drawings of time write them.
#pragma once

#include <string>

#include "mastline/units/ticks.hpp"
#include "mastline/units/unit_text.hpp"

namespace mastline {

inline double drawn_seconds(Duration d) { return static_cast<double>(d.count()) / 1e9; }
// A coordinate.
inline std::string drawn_number(double value) { return fixed_text(value, 1); }

}  // namespace mastline
