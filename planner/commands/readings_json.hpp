// SPDX-License-Identifier: Apache-2.0
// What `readings --json` writes; readings.schema.json beside this describes it.
#pragma once

#include <optional>
#include <string>

#include "mastline/findings/finding.hpp"
#include "mastline/readings/diagnosis.hpp"

namespace mastline {

// `diagnosis` is none when the files could not be used. Ends in a newline.
std::string readings_json(const std::string& venue, const Findings& findings, const Meter& meter,
                          const std::optional<Diagnosis>& diagnosis);

}  // namespace mastline
