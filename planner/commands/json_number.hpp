// SPDX-License-Identifier: Apache-2.0
// Numbers as they stand in the planner's JSON documents.
#pragma once

#include <cmath>

namespace mastline {

// To three places: a reader gains nothing from more. Never -0.
inline double thousandths(double value) { return std::round(value * 1000) / 1000 + 0.0; }

}  // namespace mastline
