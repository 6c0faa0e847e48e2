// SPDX-License-Identifier: Apache-2.0
// The group, port and sender of every carriage.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

#include "mastline/net/flow.hpp"

namespace mastline {

struct CarriageAddress {
    std::size_t home = 0;  // index into Assignment::homes
    FlowAddress flow;
    std::optional<IpAddress> source;
};

struct Addressing {
    std::vector<CarriageAddress> carriages;  // in the order of the homes; those without are left out
    std::uint64_t capacity = 0;              // collision-free groups that the policy's ranges can give
};

}  // namespace mastline
