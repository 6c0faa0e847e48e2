// SPDX-License-Identifier: Apache-2.0
// A venue from the disk.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "mastline/findings/finding.hpp"
#include "mastline/venue/venue.hpp"

namespace mastline {

struct OpenedVenue {
    Venue venue;
    Findings findings;                          // in order of place
    std::vector<std::filesystem::path> files;  // that were read
    bool usable() const { return !has_errors(findings); }
};

// `path` is the venue's folder or its venue.toml. Throws UsageError when there is nothing,
// system_error when the machine refuses.
OpenedVenue open_venue(const std::string& path);

}  // namespace mastline
