// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "mastline/network/network_load.hpp"
#include "planner/network/site.hpp"

namespace mastline {

// Links over their limit, and what the network lacks to carry streams at all.
void report_network(const Site& site, const NetworkLoad& load, Findings& findings);

}  // namespace mastline
