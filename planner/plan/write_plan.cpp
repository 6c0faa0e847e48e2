// SPDX-License-Identifier: Apache-2.0
#include "mastline/plan/write_plan.hpp"

#include <map>

#include "mastline/expectation/plan_keys.hpp"
#include "planner/plan/content_hash.hpp"
#include "planner/plan/flow_text.hpp"
#include "planner/plan/planner_tables.hpp"

namespace mastline {

namespace {

// Everything below the revision.
std::string content_of(const Venue& venue, const Plan& plan) {
    std::map<std::string, const Channel*> channels;
    for (const auto& channel : venue.channels) channels.emplace(to_text(channel.number), &channel);
    TomlText out;
    for (const auto& flow : plan.lineup.flows) {
        const auto channel = channels.find(flow.channel);
        write_flow(out, flow, channel == channels.end() ? nullptr : channel->second);
    }
    write_findings(out, plan.findings);
    write_assignment(out, venue, plan.assignment);
    write_addressing(out, plan.addressing);
    write_wiring(out, venue, plan.signal);
    write_levels(out, plan.signal);
    write_loads(out, plan);
    return out.str();
}

}  // namespace

std::string revision_of(const Venue& venue, const Plan& plan) {
    return hash_text(content_hash(plan.lineup.venue + "\n" + content_of(venue, plan)));
}

std::string write_plan(const Venue& venue, const Plan& plan) {
    TomlText head;
    head.comment("Written by mastline-planner; change the venue files, not this.");
    head.text("schema", kPlanSchema);
    head.text("venue", plan.lineup.venue);
    head.text("revision", plan.lineup.revision);
    return head.str() + content_of(venue, plan);
}

}  // namespace mastline
