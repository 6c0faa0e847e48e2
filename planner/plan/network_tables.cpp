// SPDX-License-Identifier: Apache-2.0
#include "mastline/plan/kept_plan.hpp"
#include "planner/plan/planner_tables.hpp"

namespace mastline {

namespace {

// The groups of a link's worst mix, lowest first as the carriages are.
std::vector<std::string> group_texts(const LinkLoad& load, const Addressing& addressing) {
    std::vector<std::string> out;
    for (const auto carriage : load.groups)
        out.push_back(to_text(addressing.carriages[carriage].flow.group));
    return out;
}

void write_load(TomlText& out, const LinkLoad& load, const Addressing& addressing) {
    out.item("planner.load");
    out.text("link", load.link);
    out.text_if("from", load.from);
    out.text_if("to", load.to);
    out.text("capacity", to_text(load.capacity));
    out.text("limit", to_text(load.limit));
    out.text("scheduled", to_text(load.scheduled));
    out.text("worst_mix", to_text(load.worst_mix));
    out.text("frames_per_second", number_text(load.frames, 1));
    if (load.mean < load.worst_mix) {
        out.text("mean", to_text(load.mean));
        out.text("nearly_always", to_text(load.nearly_always));
    }
    out.text("everything", to_text(load.everything));
    out.text("flooded", to_text(load.flooded));
    out.text("worst_failure", to_text(load.worst_failure));
    out.text_if("failure", load.failure);
    if (load.failure_nearly_always < load.worst_failure)
        out.text("failure_nearly_always", to_text(load.failure_nearly_always));
    if (load.to_multicast_router) out.boolean("to_multicast_router", true);
    if (load.blocked) out.boolean("blocked", true);
    if (load.members > 1) {
        out.integer("members", load.members);
        out.text("fullest_member", to_text(load.fullest_member));
        out.text_if("member_rule", load.member_rule);
        out.text("failure_member", to_text(load.failure_member));
        out.text_if("failure_member_rule", load.failure_member_rule);
        out.text_if("member_failure", load.member_failure);
    }
    out.texts("groups", group_texts(load, addressing));
}

}  // namespace

void write_addressing(TomlText& out, const Addressing& addressing) {
    out.table("planner.addressing");
    out.integer("capacity", addressing.capacity);
    for (const auto& resting : addressing.resting) {
        out.item("planner.addressing.resting");
        out.text("group", to_text(resting.group));
        out.text("freed_on", day_text(resting.freed_on));
        out.text_if("channel", resting.channel);
        if (resting.copy > 1) out.integer("copy", resting.copy);
    }
}

void write_loads(TomlText& out, const Plan& plan) {
    out.table("planner.network");
    out.text_if("tree_root", plan.network.tree_root);
    out.text_if("querier", plan.network.querier);
    for (const auto& load : plan.network.links) write_load(out, load, plan.addressing);
    for (const auto& cut : plan.network.cut_off) {
        out.item("planner.cut_off");
        out.text("failure", cut.failure);
        out.text("zone", cut.zone);
    }
}

}  // namespace mastline
