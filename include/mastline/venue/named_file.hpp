// SPDX-License-Identifier: Apache-2.0
// A further file of the venue, as its venue.toml names it.
#pragma once

#include <string>

#include "mastline/findings/place.hpp"

namespace mastline {

struct NamedFile {
    std::string name;  // inside the venue's folder, '/' between folders
    Place place;       // where it is named
};

}  // namespace mastline
