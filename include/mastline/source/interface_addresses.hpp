// SPDX-License-Identifier: Apache-2.0
// Which membership messages on the wire are our own.
#pragma once

#include <set>
#include <string>

#include "mastline/net/ip_address.hpp"

namespace mastline {

// Throws std::system_error.
std::set<IpAddress> interface_addresses(const std::string& interface);

}  // namespace mastline
