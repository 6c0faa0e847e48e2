// SPDX-License-Identifier: Apache-2.0
// A diagnosis as an engineer reads it at night: the verdict first.
#pragma once

#include <string>

#include "mastline/readings/diagnosis.hpp"
#include "planner/commands/findings_text.hpp"

namespace mastline {

std::string readings_text(const Diagnosis& diagnosis, const Meter& meter, const TerminalLook& style);

}  // namespace mastline
