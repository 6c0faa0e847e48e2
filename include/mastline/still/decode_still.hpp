// SPDX-License-Identifier: Apache-2.0
// Has a still decoded by mastline-still, a program of its own: bytes from the air may crash a decoder.
#pragma once

#include <chrono>
#include <string>

#include "mastline/still/still.hpp"
#include "mastline/stream/still_material.hpp"

namespace mastline {

// Where mastline-still is installed, or stands beside this program in the build; empty: it is not there.
std::string still_program();

// Waits until it is done, `patience` at most. Whatever becomes of the program, the worst is a still that
// says what lacks; one that runs on is killed. Throws std::system_error: no process can be started.
Still decode_still(const StillMaterial& material, const std::string& program, std::chrono::milliseconds patience = std::chrono::seconds(5));

}  // namespace mastline
