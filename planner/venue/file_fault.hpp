// SPDX-License-Identifier: Apache-2.0
// An error at a place in a file of the venue.
#pragma once

#include <string>
#include <utility>

#include "mastline/findings/finding.hpp"

namespace mastline {

inline void fault(Findings& findings, std::string id, const Place& place, std::string what, std::string cure) {
    findings.push_back({Severity::error, std::move(id), {}, std::move(what), {}, std::move(cure), place});
}

}  // namespace mastline
