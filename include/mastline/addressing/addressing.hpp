// SPDX-License-Identifier: Apache-2.0
// The group, port and sender of every carriage.
#pragma once

#include <chrono>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "mastline/net/flow.hpp"

namespace mastline {

struct CarriageAddress {
    std::size_t home = 0;  // index into Assignment::homes
    FlowAddress flow;
    std::optional<IpAddress> source;
};

// A group that an earlier plan gave to a carriage.
struct HeldGroup {
    std::string channel;  // number as text
    int copy = 1;
    Group group;
};

// A group that no carriage has any more. Displays may still remember it.
struct RestingGroup {
    Group group;
    std::chrono::sys_days freed_on{};
    std::string channel{};  // whose it was; empty where an earlier plan does not say
    int copy = 1;
    friend auto operator<=>(const RestingGroup&, const RestingGroup&) = default;
};

// What an earlier plan of the same venue left behind, and the day of this one.
struct AddressHistory {
    std::vector<HeldGroup> held;
    std::vector<RestingGroup> resting;
    std::chrono::sys_days today{};
};

struct Addressing {
    std::vector<CarriageAddress> carriages;  // in the order of the homes; those without are left out
    std::vector<CarriageAddress> silent;     // second carriages that wait in the group of the first
    std::uint64_t capacity = 0;              // collision-free groups that the policy's ranges can give
    std::vector<RestingGroup> resting;       // freed since the first plan and not to be used yet
};

}  // namespace mastline
