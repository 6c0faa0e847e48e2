// SPDX-License-Identifier: Apache-2.0
// Readings that an engineer has accepted, kept in a file, so that later ones can be compared.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "mastline/findings/finding.hpp"
#include "mastline/readings/reading.hpp"
#include "mastline/signal/signal_plan.hpp"
#include "mastline/text/tree.hpp"
#include "mastline/venue/venue.hpp"

namespace mastline {

// TOML; the same readings give the same bytes. Points without a signal are left out.
std::string write_baseline(const Venue& venue, const SignalPlan& plan,
                           const std::vector<PointReading>& readings);

// None when the file is no baseline of ours. Points that the venue no longer has, or at which the plan
// now expects another level than it did, are left out with a warning.
std::optional<std::vector<PointReading>> read_baseline(const tree::Table& root,
                                                       const SignalPlan& plan, Findings& findings);

}  // namespace mastline
