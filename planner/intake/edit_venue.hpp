// SPDX-License-Identifier: Apache-2.0
// Changes of a venue written into the texts of its files: what they do not concern stays byte for
// byte, comments and order too. A plan is tried on the very texts that would be written.
#pragma once

#include <map>
#include <span>
#include <string>

#include "mastline/findings/finding.hpp"
#include "planner/intake/venue_edit.hpp"

namespace mastline {

// TOML files by name, as the venue names them.
using FileTexts = std::map<std::string, std::string>;

// The texts with the edits in them, one after the other. What cannot be done is added to `findings`,
// and then `texts` come back as they were.
FileTexts edit_venue(const FileTexts& texts, std::span<const VenueEdit> edits, Findings& findings);

}  // namespace mastline
