// SPDX-License-Identifier: Apache-2.0
// The reference page of the venue files, from the lists that the readers accept.
#pragma once

#include <string>

namespace mastline {

// Markdown; the same bytes as planner/venue/REFERENCE.md.
std::string reference_page();

}  // namespace mastline
