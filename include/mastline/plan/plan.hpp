// SPDX-License-Identifier: Apache-2.0
// The plan: every rule's result over one venue.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "mastline/addressing/addressing.hpp"
#include "mastline/assignment/assignment.hpp"
#include "mastline/expectation/expectation.hpp"
#include "mastline/findings/finding.hpp"
#include "mastline/network/network_load.hpp"
#include "mastline/signal/signal_plan.hpp"
#include "mastline/venue/venue.hpp"

namespace mastline {

struct Plan {
    SignalPlan signal;
    Assignment assignment;
    Addressing addressing;
    NetworkLoad network;
    ExpectedLineup lineup;  // what the probe is to find
    Findings findings;      // sorted, worst first
};

// Runs the rules in order: signal, assignment, addressing, network. Pure: the same venue gives the
// same plan.
Plan make_plan(const Venue& venue);

// What a plan goes through, in this order; told as each begins, for those who wait.
enum class PlanStep { levels, cards, addresses, loads };
using PlanStepSink = std::function<void(PlanStep)>;

}  // namespace mastline
