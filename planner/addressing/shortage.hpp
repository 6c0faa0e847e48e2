// SPDX-License-Identifier: Apache-2.0
// Findings about homes that got no group, or not one of their tag: how many, and how many groups the
// ranges can give.
#pragma once

#include <optional>
#include <vector>

#include "mastline/assignment/assignment.hpp"
#include "mastline/findings/finding.hpp"
#include "mastline/venue/venue.hpp"
#include "planner/addressing/range_choice.hpp"

namespace mastline {

class Shortage {
public:
    // `homes`: those that need a group, by channel number. `resting`: groups of earlier plans that are
    // kept from use. REQUIRES: all outlive this.
    Shortage(const Venue& venue, const Assignment& assignment, const std::vector<std::size_t>& homes, std::size_t resting)
        : venue_(venue), assignment_(assignment), homes_(homes), resting_(resting) {}

    // Of `given`, those whose tag has ranges (`tagged`, by home) and whose group (`groups`, by home) is
    // of none of them: a warning for each such choice of ranges.
    void outside_tag(const std::vector<std::size_t>& given, const std::vector<RangeChoice>& tagged,
                     const std::vector<std::optional<Group>>& groups, Findings& findings) const;

    // `without`: homes that got no group. `ranges`: all that they may draw from, and whoever competes
    // with them.
    void exhausted(const std::vector<std::size_t>& without, RangeChoice ranges, Findings& findings) const;

private:
    const Channel& channel_of(std::size_t home) const { return venue_.channels[assignment_.homes[home].channel]; }
    std::string subject_of(std::size_t home) const;
    std::size_t confined_to(const RangeChoice& ranges) const;
    std::uint64_t capacity_of(const RangeChoice& ranges) const;

    const Venue& venue_;
    const Assignment& assignment_;
    const std::vector<std::size_t>& homes_;
    std::size_t resting_;
};

}  // namespace mastline
