// SPDX-License-Identifier: Apache-2.0
#include "mastline/plan/plan.hpp"

#include "mastline/addressing/allocate.hpp"
#include "mastline/assignment/assign.hpp"
#include "mastline/network/network_load.hpp"
#include "mastline/plan/expectations.hpp"
#include "mastline/plan/kept_plan.hpp"
#include "mastline/plan/write_plan.hpp"
#include "mastline/signal/make_signal_plan.hpp"

namespace mastline {

Plan make_plan(const Venue& venue) { return make_plan(venue, KeptPlan{}); }

Plan make_plan(const Venue& venue, const KeptPlan& kept, const PlanStepSink& begins) {
    const auto tell = [&](PlanStep step) {
        if (begins) begins(step);
    };
    Plan plan;
    tell(PlanStep::levels);
    plan.signal = make_signal_plan(venue, plan.findings);
    tell(PlanStep::cards);
    plan.assignment = assign(venue, plan.signal, kept.homes, plan.findings);
    tell(PlanStep::addresses);
    plan.addressing = allocate(venue, plan.assignment, kept.addresses, plan.findings);
    tell(PlanStep::loads);
    plan.network = network_load(venue, plan.assignment, plan.addressing, plan.findings);
    plan.lineup.venue = venue.name;
    plan.lineup.flows = expected_flows(venue, plan);
    sort_findings(plan.findings);
    plan.lineup.revision = revision_of(venue, plan);
    return plan;
}

}  // namespace mastline
