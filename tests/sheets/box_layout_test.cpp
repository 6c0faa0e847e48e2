// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include <random>
#include <set>

#include "planner/sheets/box_chart.hpp"

using namespace mastline;

namespace {

Box box(std::size_t left, std::size_t right) {
    Box out;
    out.title = "device";
    for (std::size_t i = 0; i < left; ++i)
        out.left.push_back({"in −26.0/−28.3", Fit::untold, false});
    for (std::size_t i = 0; i < right; ++i)
        out.right.push_back({"out −26.0/−28.3", Fit::untold, false});
    return out;
}

bool apart(const PlacedBox& a, const PlacedBox& b) {
    return a.x + a.width <= b.x || b.x + b.width <= a.x || a.y + a.height <= b.y ||
           b.y + b.height <= a.y;
}

void check_sound(const BoxChart& chart, const BoxLayout& layout) {
    for (std::size_t a = 0; a < layout.boxes.size(); ++a) {
        const auto& box_a = layout.boxes[a];
        CHECK((box_a.x >= 0 && box_a.x + box_a.width <= layout.width));
        CHECK((box_a.y >= 0 && box_a.y + box_a.height <= layout.height));
        for (std::size_t b = a + 1; b < layout.boxes.size(); ++b)
            CHECK(apart(box_a, layout.boxes[b]));
    }
    for (std::size_t l = 0; l < chart.lines.size(); ++l) {
        const auto& path = layout.paths[l];
        REQUIRE(path.size() >= 2);
        const auto& from = layout.boxes[chart.lines[l].from_box];
        const auto& to = layout.boxes[chart.lines[l].to_box];
        CHECK(path.front().x == Approx(from.x + from.width));
        CHECK(path.front().y == Approx(from.y + row_middle(chart.boxes[chart.lines[l].from_box], chart.lines[l].from_row)));
        CHECK(path.back().x == Approx(to.x));
        CHECK(path.back().y == Approx(to.y + row_middle(chart.boxes[chart.lines[l].to_box], chart.lines[l].to_row)));
        for (std::size_t i = 1; i < path.size(); ++i)
            CHECK((path[i].x == Approx(path[i - 1].x) ||
                   path[i].y == Approx(path[i - 1].y).margin(0.2)));
    }
}

// The upright part of a path lies in no box.
bool crosses_box(const std::vector<PathPoint>& path, const PlacedBox& box) {
    for (std::size_t i = 1; i < path.size(); ++i) {
        const auto [left, right] = std::minmax(path[i - 1].x, path[i].x);
        const auto [top, bottom] = std::minmax(path[i - 1].y, path[i].y);
        if (left < box.x + box.width - 0.1 && right > box.x + 0.1 &&
            top < box.y + box.height - 0.1 && bottom > box.y + 0.1)
            return true;
    }
    return false;
}

}  // namespace

TEST_CASE("nothing to draw takes no room", "[unit]") {
    const auto layout = lay_out({});
    CHECK(layout.boxes.empty());
    CHECK(layout.width == 0);
}

TEST_CASE("a chain of boxes with the same ports runs straight from left to right", "[unit]") {
    BoxChart chart;
    chart.boxes = {box(0, 4), box(4, 4), box(4, 0)};
    for (std::size_t lane = 0; lane < 4; ++lane) {
        chart.lines.push_back({0, lane, 1, lane, Fit::untold, 1, ""});
        chart.lines.push_back({1, lane, 2, lane, Fit::untold, 1, ""});
    }
    const auto layout = lay_out(chart);
    check_sound(chart, layout);
    CHECK(layout.boxes[0].x < layout.boxes[1].x);
    CHECK(layout.boxes[1].x < layout.boxes[2].x);
    for (const auto& path : layout.paths) CHECK(path.size() == 2);
}

TEST_CASE("random trees and meshes are drawn without boxes on boxes or lines through boxes",
          "[property]") {
    std::mt19937 random(20240611);
    for (int round = 0; round < 60; ++round) {
        BoxChart chart;
        const std::size_t count = 2 + random() % 25;
        for (std::size_t b = 0; b < count; ++b) chart.boxes.push_back(box(0, 0));
        for (std::size_t b = 1; b < count; ++b) {
            const std::size_t lines = 1 + random() % 3;
            for (std::size_t l = 0; l < lines; ++l) {
                const std::size_t from = random() % b;
                chart.lines.push_back({from, chart.boxes[from].right.size(), b,
                                       chart.boxes[b].left.size(), Fit::untold, 1, ""});
                chart.boxes[from].right.push_back({"out", Fit::untold, false});
                chart.boxes[b].left.push_back({"in", Fit::untold, false});
            }
        }
        const auto layout = lay_out(chart);
        check_sound(chart, layout);
        for (const auto& path : layout.paths)
            for (const auto& placed : layout.boxes) CHECK_FALSE(crosses_box(path, placed));
    }
}

TEST_CASE("lines in a circle still give a drawing", "[input]") {
    BoxChart chart;
    chart.boxes = {box(1, 1), box(1, 1), box(0, 1)};
    chart.lines = {{0, 0, 1, 0, Fit::untold, 1, ""}, {1, 0, 0, 0, Fit::untold, 1, ""}};
    const auto layout = lay_out(chart);
    REQUIRE(layout.boxes.size() == 3);
    for (const auto& path : layout.paths) CHECK(path.size() >= 2);
    CHECK(apart(layout.boxes[0], layout.boxes[1]));
    CHECK(apart(layout.boxes[0], layout.boxes[2]));
}

TEST_CASE("parts that no line joins are drawn apart", "[unit]") {
    BoxChart chart;
    for (int pair = 0; pair < 3; ++pair) {
        chart.boxes.push_back(box(0, 5));
        chart.boxes.push_back(box(5, 0));
        const std::size_t from = chart.boxes.size() - 2;
        for (std::size_t row = 0; row < 5; ++row)
            chart.lines.push_back({from, row, from + 1, row, Fit::untold, 1, ""});
    }
    const auto parts = sheet_parts(chart);
    REQUIRE(parts.size() == 3);
    for (const auto& part : parts) {
        CHECK(part.boxes.size() == 2);
        CHECK(part.lines.size() == 5);
        check_sound(part, lay_out(part));
    }
    CHECK(sheet_parts({}).empty());
}

TEST_CASE("a drawing higher than a sheet becomes several, with the box that most lines meet on each", "[unit]") {
    BoxChart chart;
    constexpr std::size_t count = 40;
    chart.boxes.push_back(box(1, count));
    chart.boxes[0].id = "hub";
    for (std::size_t b = 1; b <= count; ++b) {
        chart.boxes.push_back(box(1, 0));
        chart.boxes[b].id = "b" + std::to_string(b);
        chart.boxes[0].right[b - 1].text = "to " + chart.boxes[b].id;
        chart.lines.push_back({0, b - 1, b, 0, Fit::good, 1, ""});
    }
    REQUIRE(lay_out(chart).height > 2000);
    const auto parts = lower_parts(chart);
    REQUIRE(parts.size() >= 3);
    std::set<std::string> drawn;
    std::size_t hubs = 0, unmet = 0;
    for (const auto& part : parts) {
        const auto layout = lay_out(part);
        check_sound(part, layout);
        CHECK(layout.height <= 1005);  // A3 less margins of 10 mm and 21 mm, at 96 pixels to the inch
        CHECK(part.lines.size() + 1 == part.boxes.size());
        for (const auto& each : part.boxes)
            if (!each.id.empty()) CHECK(drawn.insert(each.id).second);
        for (const auto& line : part.lines) {
            const auto& hub = part.boxes[line.from_box];
            CHECK(hub.right[line.from_row].text == "to " + part.boxes[line.to_box].id);
            CHECK(hub.right.size() == part.lines.size());
        }
        const auto& hub = part.boxes[part.lines.front().from_box];
        ++hubs, unmet += hub.left.size();
        CHECK(hub.id == (hubs == 1 ? "hub" : ""));
        CHECK(hub.subtitle.starts_with("continued") == (hubs > 1));
    }
    CHECK(drawn.size() == count + 1);
    CHECK(unmet == 1);
    chart.boxes.resize(4), chart.lines.resize(3);
    CHECK(lower_parts(chart).size() == 1);
}

TEST_CASE("a chain wider than a sheet is cut into drawings that fit, each cut named on both sides",
          "[unit]") {
    BoxChart chart;
    constexpr std::size_t count = 20;
    for (std::size_t b = 0; b < count; ++b) {
        chart.boxes.push_back(box(b == 0 ? 0 : 4, b + 1 == count ? 0 : 4));
        chart.boxes.back().id = "b" + std::to_string(b);
        chart.boxes.back().title = "device " + std::to_string(b);
        for (std::size_t lane = 0; b > 0 && lane < 4; ++lane)
            chart.lines.push_back({b - 1, lane, b, lane, Fit::near, 1, ""});
    }
    const auto parts = sheet_parts(chart);
    REQUIRE(parts.size() > 1);
    std::set<std::string> drawn;
    std::size_t stubs = 0, lines = 0;
    for (const auto& part : parts) {
        const auto layout = lay_out(part);
        check_sound(part, layout);
        CHECK(layout.width <= 1497);  // A3 less margins of 12 mm, at 96 pixels to the inch
        lines += part.lines.size();
        for (const auto& each : part.boxes) {
            if (!each.is_stub) CHECK(drawn.insert(each.id).second);
            else ++stubs;
        }
    }
    CHECK(drawn.size() == count);
    CHECK(stubs == 2 * (parts.size() - 1));
    CHECK(lines == 4 * (count - 1 + parts.size() - 1));
    CHECK(parts[1].boxes.back().title.starts_with("from device ") !=
          parts[1].boxes.back().title.starts_with("to device "));
}
