// SPDX-License-Identifier: Apache-2.0
// What each switch is to be told about IGMP and MLD snooping, as JSON instance data (RFC 7951) of
// the YANG module ietf-igmp-mld-snooping (RFC 9166).
#pragma once

#include <string>
#include <vector>

#include "mastline/network/network_load.hpp"
#include "mastline/venue/venue.hpp"

namespace mastline {

struct SnoopingConfig {
    std::string file_name;  // made of the switch's name; no two are alike
    std::string json;
};

// One per switch, in the venue's order. An interface is named after its link: a port's own name is
// not in the venue. Bridge and VLAN are stated where the switch's own address is known, which IEEE
// 802.1Qcp makes mandatory. Timers that RFC 9166 has no value for are left out; network_load() says
// so in a finding.
std::vector<SnoopingConfig> write_snooping_configs(const Venue& venue, const NetworkLoad& load);

}  // namespace mastline
