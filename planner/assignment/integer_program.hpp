// SPDX-License-Identifier: Apache-2.0
// The integer program by its name in this room.
#pragma once

#include "planner/program/integer_program.hpp"

namespace mastline::packing {

using mastline::IntegerProgram;

}  // namespace mastline::packing
