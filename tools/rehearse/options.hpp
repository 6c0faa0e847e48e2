// SPDX-License-Identifier: Apache-2.0
// What mastline-rehearse was asked to do.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "mastline/findings/finding.hpp"
#include "mastline/net/group_range.hpp"
#include "mastline/units/ticks.hpp"
#include "tools/rehearse/fault/fault.hpp"

namespace mastline {

struct PlayRequest {
    std::size_t flow = 0;
    std::string file;
};

// The command line as typed.
struct Arguments {
    std::string plan, interface, write, json, duration;
    std::vector<std::string> faults, plays, scopes;
    bool allow_real_interface = false;
    bool announce = false;
    bool list_faults = false;
};

// The same, understood.
struct Wishes {
    std::vector<Fault> faults;
    std::vector<PlayRequest> plays;
    std::vector<GroupSpan> scopes;  // of the site, for announcements
    std::optional<Duration> duration;
};

// Every mistake becomes one finding.
Wishes understand(const Arguments& arguments, const ExpectedLineup& lineup, Findings& findings);

}  // namespace mastline
