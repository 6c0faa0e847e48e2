// SPDX-License-Identifier: Apache-2.0
// The steps of check_signal, in their order.
#pragma once

#include "mastline/findings/finding.hpp"
#include "mastline/venue/port_index.hpp"
#include "mastline/venue/venue.hpp"

namespace mastline {

// Names that stand twice.
void check_names(const Venue& venue, Findings& findings);
// Devices get their models' data, their ports and paths.
void resolve_devices(Venue& venue, Findings& findings);
// Carriers: feed, lane, frequency within the lane; IF from the downlink.
void resolve_carriers(Venue& venue, Findings& findings);
// Runs: ports, cables, conductors; two runs on one port; circles.
void resolve_runs(Venue& venue, const PortIndex& index, Findings& findings);
void check_circles(const Venue& venue, const PortIndex& index, Findings& findings);

}  // namespace mastline
