// SPDX-License-Identifier: Apache-2.0
// A venue from the disk.
#pragma once

#include <filesystem>
#include <map>
#include <string>
#include <vector>

#include "mastline/findings/finding.hpp"
#include "mastline/venue/venue.hpp"

namespace mastline {

struct OpenedVenue {
    Venue venue;
    Findings findings;                          // in order of place
    std::filesystem::path folder;              // empty: where the program was started
    std::string main;                          // "venue.toml"
    std::map<std::string, std::string> texts;  // of the files that were read, by name in the folder
    std::vector<std::string> absent;           // named, but not there
    std::vector<std::filesystem::path> files() const;  // that were read
    bool usable() const { return !has_errors(findings); }
};

// `path` is the venue's folder or its venue.toml. Throws UsageError when there is nothing,
// system_error when the machine refuses.
OpenedVenue open_venue(const std::string& path);

}  // namespace mastline
