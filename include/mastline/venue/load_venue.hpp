// SPDX-License-Identifier: Apache-2.0
// A venue out of its files.
#pragma once

#include <optional>
#include <string>

#include "mastline/findings/finding.hpp"
#include "mastline/venue/venue.hpp"

namespace mastline {

// Where the text of the files comes from: the disk, or a test.
class VenueFiles {
public:
    virtual ~VenueFiles() = default;
    // Named relative to the venue's folder, with '/' between folders. None: there is no such file.
    virtual std::optional<std::string> read(const std::string& name) = 0;
};

// Reads `main` ("venue.toml") and every file that it names. Adds all that is wrong in any of them,
// in order of file, line and column; with an error among it the venue is incomplete and nothing may
// be planned from it.
Venue load_venue(VenueFiles& files, const std::string& main, Findings& findings);

}  // namespace mastline
