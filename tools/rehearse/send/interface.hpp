// SPDX-License-Identifier: Apache-2.0
// A network interface of this machine, and whether a rehearsal may send on it.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "mastline/net/ip_address.hpp"

namespace mastline {

enum class InterfaceKind : std::uint8_t { loopback, test_pair, real };

struct Interface {
    std::string name;
    unsigned index = 0;
    InterfaceKind kind = InterfaceKind::real;
    std::string driver;  // as the kernel tells; empty when it does not
    bool up = false;
    std::vector<IpAddress> addresses;
};

// Throws std::system_error when the machine has no such interface.
Interface find_interface(const std::string& name);

// The addresses of an interface whose uniqueness is still being asked for (RFC 4862 section 5.4):
// nothing can be sent from them yet.
std::vector<IpAddress> tentative_addresses(const std::string& name);

// Why nothing may be sent here without being told so; none for loopback and one end of a veth pair.
std::optional<std::string> refusal(const Interface& interface);

}  // namespace mastline
