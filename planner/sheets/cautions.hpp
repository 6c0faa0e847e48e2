// SPDX-License-Identifier: Apache-2.0
// Short cautions for people who work with their hands.
#pragma once

#include <string>

namespace mastline {

enum class Work : std::uint8_t { roof, power, fibre, coax };

// A boxed list, ending with who decides.
std::string cautions(std::initializer_list<Work> works);

}  // namespace mastline
