// SPDX-License-Identifier: Apache-2.0
// The differentiated services code point that streams are marked with.
#pragma once

#include "mastline/venue/venue.hpp"

namespace mastline {

// Warns of one that RFC 4594 keeps for other traffic: streams would push that aside, or be pushed.
void check_code_point(const AddressingPolicy& policy, Findings& findings);

}  // namespace mastline
