// SPDX-License-Identifier: Apache-2.0
#include "planner/sheets/network_chart.hpp"

#include <algorithm>
#include <catch2/catch.hpp>

#include "tests/support/sample_plan.hpp"

using namespace mastline;

namespace network_chart_test {

namespace {

const Box* find(const BoxChart& chart, const std::string& title) {
    const auto at = std::find_if(chart.boxes.begin(), chart.boxes.end(),
                                 [&](const Box& box) { return box.title == title; });
    return at == chart.boxes.end() ? nullptr : &*at;
}

bool has(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

// All texts of a box.
std::string text_of(const Box& box) {
    std::string out = box.title + "\n" + box.subtitle + "\n" + box.hover;
    for (const auto* side : {&box.left, &box.right})
        for (const auto& row : *side) out += "\n" + row.text;
    return out;
}

LinkLoad& load_of(Plan& plan, const std::string& from, const std::string& to) {
    for (auto& load : plan.network.links)
        if (load.from == from && load.to == to) return load;
    throw std::runtime_error("no such load");
}

}  // namespace

TEST_CASE("a small network has a box for every switch, sender and zone", "[unit]") {
    const auto [venue, plan] = sample::make();
    const auto chart = network_chart(PlanIndex(venue, plan));
    CHECK(chart.boxes.size() == 14 + 2 + 12);
    REQUIRE(find(chart, "access-07"));
    CHECK(find(chart, "chassis A")->subtitle == "5 cards");
    CHECK(find(chart, "zone zone 02"));
}

TEST_CASE("a link in reserve and a multicast router port say so", "[unit]") {
    auto [venue, plan] = sample::make();
    auto& blocked = load_of(plan, "core-1", "access-03");
    blocked.blocked = true;
    blocked.to_multicast_router = false;
    auto& router = load_of(plan, "core-1", "access-05");
    router.to_multicast_router = true;
    const auto chart = network_chart(PlanIndex(venue, plan));
    const auto text = text_of(*find(chart, "core-1"));
    CHECK(has(text, "\u2192 access-03  in reserve"));
    CHECK(has(text, " % R"));
    for (const auto& line : chart.lines)
        CHECK(line.in_reserve == has(line.hover, "link core-1/access-03;"));
    for (const auto& line : chart.lines)
        if (has(line.hover, "core-1 to access-05")) CHECK(has(line.hover, "multicast router port"));
}

TEST_CASE("a bundle over its limit on one member alone is over", "[unit]") {
    auto [venue, plan] = sample::make();
    auto& load = load_of(plan, "core-1", "core-2");
    load.members = 2;
    load.worst_mix = load.flooded = load.worst_failure = BitRate(load.limit.bits_per_second() / 2);
    load.fullest_member = BitRate(load.limit.bits_per_second() / 4);
    CHECK(fit_of(load) == Fit::good);
    load.fullest_member = BitRate(load.limit.bits_per_second() / 2 + 2);
    CHECK(fit_of(load) == Fit::out);
}

TEST_CASE("a verdict tells what is over: the worst mix, what switches flood, or a failure alone", "[unit]") {
    LinkLoad load;
    load.limit = megabits_per_second(80);
    load.worst_mix = load.flooded = load.worst_failure = load.fullest_member = megabits_per_second(70);
    CHECK(verdict_of(load) == "fits");
    load.worst_failure = megabits_per_second(90);
    CHECK(verdict_of(load) == "over in a failure");
    load.flooded = megabits_per_second(90);
    CHECK(verdict_of(load) == "over by flooding");
    load.worst_mix = megabits_per_second(81);
    CHECK(verdict_of(load) == "over");
}

TEST_CASE("of many edge switches alike the fullest are drawn and the others stand in one box",
          "[unit]") {
    auto [venue, plan] = sample::make();
    for (int i = 0; i < 40; ++i) {
        Switch edge;
        edge.name = "edge-" + std::to_string(i);
        Link link;
        link.from = "core-2", link.to = edge.name, link.name = "core-2/" + edge.name;
        link.speed = megabits_per_second(1000);
        Zone zone;
        zone.name = "suite " + std::to_string(i), zone.attached_to = edge.name, zone.displays = 10;
        LinkLoad load;
        load.link = link.name, load.from = link.from, load.to = link.to;
        load.capacity = link.speed, load.limit = megabits_per_second(800);
        load.worst_mix = load.worst_failure = megabits_per_second(25 * i);
        venue.switches.push_back(edge);
        venue.links.push_back(link);
        venue.zones.push_back(zone);
        plan.network.links.push_back(load);
    }
    const PlanIndex index(venue, plan);
    const auto chart = network_chart(index);
    const Box* crowd = nullptr;
    for (const auto& box : chart.boxes)
        if (has(box.title, "more switches")) crowd = &box;
    REQUIRE(crowd);
    // The six single-homed access switches of the sample are alike too: 46 less the six fullest.
    CHECK(crowd->title == "40 more switches");
    CHECK(has(crowd->subtitle, "zones"));
    CHECK(find(chart, "edge-39"));
    CHECK_FALSE(find(chart, "edge-3"));
    CHECK(crowd->also.size() == 40);
    // Every link is told: alone or counted.
    const auto text = text_of(*find(chart, "core-2"));
    CHECK(has(text, "\u2192 40 links, up to "));
}

TEST_CASE("with many kinds of edge switches whole branches of them stand in one box, and all are told", "[unit]") {
    auto [venue, plan] = sample::make();
    for (int i = 0; i < 400; ++i) {
        const std::string parent = "floor-" + std::to_string(i / 20), name = "room-" + std::to_string(i);
        if (i % 20 == 0) {
            venue.switches.emplace_back().name = parent;
            auto& link = venue.links.emplace_back();
            link.from = "core-2", link.to = parent, link.name = "core-2/" + parent;
        }
        venue.switches.emplace_back().name = name;
        auto& link = venue.links.emplace_back();
        link.from = parent, link.to = name, link.name = parent + "/" + name;
    }
    const PlanIndex index(venue, plan);
    const auto chart = network_chart(index);
    std::size_t alone = 0, floors = 0, told = 0;
    for (const auto& box : chart.boxes) {
        alone += box.title.starts_with("room-");
        floors += box.title.starts_with("floor-");
        if (has(box.title, "more switches")) told += box.also.size();
    }
    // One floor with its six fullest rooms; the others stand in a box with all their rooms.
    CHECK(floors == 1);
    CHECK(alone == 6);
    CHECK(told == 14 + 19 + 19 * 20);
    const Box* branches = find(chart, "399 more switches");
    REQUIRE(branches);
    CHECK(has(text_of(*branches), "380 links within, up to 0 %"));
    CHECK(has(text_of(*find(chart, "core-2")), "\u2192 19 links, up to 0 %"));
}

}  // namespace network_chart_test
