// SPDX-License-Identifier: Apache-2.0
// A venue whose files are texts of a test.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "mastline/venue/load_venue.hpp"

namespace mastline::test {

class VenueTexts : public VenueFiles {
public:
    explicit VenueTexts(std::map<std::string, std::string> texts) : texts_(std::move(texts)) {}
    std::optional<std::string> read(const std::string& name) override {
        const auto found = texts_.find(name);
        if (found == texts_.end()) return std::nullopt;
        return found->second;
    }

private:
    std::map<std::string, std::string> texts_;
};

struct Loaded {
    Venue venue;
    std::vector<std::string> lines;  // one per finding
};

inline Loaded load(std::map<std::string, std::string> texts) {
    VenueTexts files(std::move(texts));
    Findings findings;
    Loaded out;
    out.venue = load_venue(files, "venue.toml", findings);
    for (const auto& finding : findings) out.lines.push_back(to_line(finding));
    return out;
}

}  // namespace mastline::test
