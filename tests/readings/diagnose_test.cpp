// SPDX-License-Identifier: Apache-2.0
#include "mastline/readings/diagnosis.hpp"

#include <catch2/catch.hpp>

#include "readings/small_chain.hpp"

using namespace mastline;
using namespace mastline::test;

namespace {

struct Row {
    std::string device, port;
    int lane;
    double mhz, dbm;
};

PointReading at(const Row& row) {
    PointReading out;
    out.point = {{row.device, row.port}, LaneNumber{row.lane}, frequency_of_megahertz(row.mhz)};
    out.level = Level::dbm(row.dbm);
    return out;
}

// Both band edges of both lanes at every test point, by hand; `change` is added.
template <class F>
std::vector<PointReading> all_points(F&& change) {
    const std::vector<std::tuple<std::string, std::string, double>> points{
        {"head", "in", -40}, {"head", "out", -20}, {"drop", "in", -20}, {"drop", "out1", -24},
        {"drop", "out2", -24}, {"left", "in", -29}, {"right", "in", -29}};
    std::vector<PointReading> out;
    for (const auto& [device, port, dbm] : points)
        for (const int lane : {1, 2})
            for (const double mhz : {1000.0, 2000.0})
                out.push_back(at({device, port, lane, mhz,
                                  dbm - (lane == 2 ? 3 : 0) + change(device + "." + port, lane, mhz)}));
    return out;
}

Diagnosis judged(const std::vector<PointReading>& readings, const std::vector<PointReading>& baseline = {}) {
    const auto room = small_chain();
    REQUIRE(room.lines().empty());
    return diagnose(room.venue, room.plan, readings, baseline);
}

bool behind_r3(const std::string& port) { return port == "left.in"; }
bool behind_head(const std::string& port) { return port != "head.in"; }

}  // namespace

TEST_CASE("readings as planned accuse nobody", "[unit]") {
    const auto d = judged(all_points([](auto&&, int, double) { return 0.0; }));
    CHECK(d.verdict == ReadingsVerdict::good);
    CHECK(d.faults.empty());
    CHECK(d.faulty.value < 0.01);
    CHECK(d.points.size() == 28);
    CHECK(d.points[0].deviation.db() == Approx(0).margin(1e-9));
    CHECK(d.points[0].signal == LaneRef{"dish", LaneNumber{1}});
    CHECK(d.unseen == std::vector<ChainPart>{{PartKind::device, "left"}, {PartKind::device, "right"}});
}

// Worked by hand: lane 2 is -27 dBm at drop.out1 as planned and -38 instead of -32 dBm at left.in, at
// both edges of the band. Between the two there is R3 alone.
TEST_CASE("a diagnosis tells how much of it is done, to the end", "[unit]") {
    const auto room = small_chain();
    std::vector<double> parts;
    diagnose(room.venue, room.plan, all_points([](auto&&, int, double) { return 0.0; }), {}, {}, [&](double part) { parts.push_back(part); });
    REQUIRE(parts.size() >= 6);  // a root and the faults for each of three shares of the tolerances
    CHECK(std::is_sorted(parts.begin(), parts.end()));
    CHECK(parts.front() > 0);
    CHECK(parts.back() == Approx(1));
}

TEST_CASE("a flat loss in a run is named with its lane and amount", "[outside]") {
    const auto d = judged(all_points([](const std::string& port, int lane, double) {
        return behind_r3(port) && lane == 2 ? -6.0 : 0.0;
    }));
    CHECK(d.verdict == ReadingsVerdict::fault);
    REQUIRE(d.faults.size() == 1);
    const auto& f = d.faults[0];
    CHECK(f.fault.part == ChainPart{PartKind::run, "R3"});
    CHECK(f.fault.lanes == std::vector<LaneNumber>{LaneNumber{2}});
    CHECK(f.fault.kind == PartFaultKind::flat_loss);
    CHECK(f.fault.amount.db() == Approx(-6).margin(0.3));
    CHECK(f.sure.value > 0.99);
    CHECK(f.section == std::vector<ChainPart>{{PartKind::run, "R3"}});
    REQUIRE(f.right_until.size() == 1);
    CHECK(f.right_until[0].port == PortRef{"drop", "out1"});
    REQUIRE(f.departs_at.size() == 1);
    CHECK(f.departs_at[0].port == PortRef{"left", "in"});
    CHECK(f.departs_at[0].lane.value == 2);
    CHECK(d.next.empty());
}

TEST_CASE("a loss that grows with frequency is a tilt", "[unit]") {
    const auto d = judged(all_points([](const std::string& port, int lane, double mhz) {
        return behind_r3(port) && lane == 1 ? -7.0 * (mhz - 1000) / 1000 : 0.0;
    }));
    REQUIRE(d.faults.size() == 1);
    CHECK(d.faults[0].fault.part.name == "R3");
    CHECK(d.faults[0].fault.kind == PartFaultKind::tilt);
}

TEST_CASE("all lanes of an amplifier low is its supply, one lane its trim", "[unit]") {
    const auto supply = judged(all_points([](const std::string& port, int, double) {
        return behind_head(port) ? -5.0 : 0.0;
    }));
    REQUIRE(supply.faults.size() == 1);
    CHECK(supply.faults[0].fault.part == ChainPart{PartKind::device, "head"});
    CHECK(supply.faults[0].fault.kind == PartFaultKind::low_supply);
    CHECK(supply.faults[0].fault.lanes.empty());
    const auto trim = judged(all_points([](const std::string& port, int lane, double) {
        return behind_head(port) && lane == 2 ? 4.0 : 0.0;
    }));
    REQUIRE(trim.faults.size() == 1);
    CHECK(trim.faults[0].fault.part == ChainPart{PartKind::device, "head"});
    CHECK(trim.faults[0].fault.kind == PartFaultKind::wrong_trim);
    CHECK(trim.faults[0].fault.amount.db() == Approx(4).margin(0.2));
}

TEST_CASE("a lane without signal is dead after the last point that has one", "[unit]") {
    auto readings = all_points([](auto&&, int, double) { return 0.0; });
    for (auto& r : readings)
        if (r.point.lane.value == 2 && r.point.port.device == "right") r.level.reset();
    const auto d = judged(readings);
    REQUIRE(d.faults.size() == 1);
    CHECK(d.faults[0].fault.part.name == "R4");
    CHECK(d.faults[0].fault.kind == PartFaultKind::dead);
    for (auto& r : readings)
        if (r.point.lane.value == 2 && r.point.port.device == "right") r.level = Level::dbm(-75);
    CHECK(judged(readings).faults.at(0).fault.kind == PartFaultKind::dead);  // the noise that a meter shows
}

TEST_CASE("lanes that changed places are told by their levels", "[unit]") {
    const auto d = judged(all_points([](const std::string& port, int lane, double) {
        return behind_head(port) && port != "head.out" ? (lane == 1 ? -3.0 : 3.0) : 0.0;
    }));
    REQUIRE(d.faults.size() == 1);
    CHECK(d.faults[0].fault.part == ChainPart{PartKind::run, "R2"});
    CHECK(d.faults[0].fault.kind == PartFaultKind::crossed);
    CHECK(d.faults[0].fault.lanes == std::vector<LaneNumber>{LaneNumber{1}, LaneNumber{2}});
    CHECK(d.faults[0].fault.comes_instead == std::vector<LaneNumber>{LaneNumber{2}, LaneNumber{1}});
    CHECK(to_text(d.faults[0].fault) == "crossed lanes: lane 2 comes on 1, lane 1 comes on 2");
}

TEST_CASE("two faults at once are both named", "[unit]") {
    const auto d = judged(all_points([](const std::string& port, int lane, double) {
        return (behind_r3(port) && lane == 1 ? -5.0 : 0.0) + (port == "right.in" && lane == 2 ? -7.0 : 0.0);
    }));
    REQUIRE(d.faults.size() == 2);
    std::vector<std::string> names{d.faults[0].fault.part.name, d.faults[1].fault.part.name};
    std::sort(names.begin(), names.end());
    CHECK(names == std::vector<std::string>{"R3", "R4"});
}

// Read at head.in and left.in only: everything between is one section, and the reading that halves it
// is worth at most one bit and more than half of one.
TEST_CASE("what no reading tells apart is one section, and the next reading divides it", "[unit]") {
    std::vector<PointReading> readings;
    for (const double mhz : {1000.0, 2000.0})
        for (const int lane : {1, 2}) {
            readings.push_back(at({"head", "in", lane, mhz, lane == 1 ? -40.0 : -43.0}));
            readings.push_back(at({"left", "in", lane, mhz, lane == 1 ? -35.0 : -32.0}));
        }
    const auto d = judged(readings);
    REQUIRE(d.faults.size() == 1);
    std::vector<std::string> names;
    for (const auto& part : d.faults[0].section) names.push_back(part.name);
    CHECK(names == std::vector<std::string>{"head", "R2", "drop", "R3"});
    CHECK(d.faults[0].sure.value > 0.99);
    REQUIRE_FALSE(d.next.empty());
    CHECK(d.next[0].marked);
    CHECK(d.next[0].point.lane.value == 1);
    CHECK(d.next[0].bits > 0.5);
    CHECK(d.next[0].bits <= 1.01);
    std::vector<std::string> unseen;
    for (const auto& part : d.unseen) unseen.push_back(part.name);
    CHECK(std::find(unseen.begin(), unseen.end(), "R4") != unseen.end());
}

TEST_CASE("one reading that nothing explains is not forced onto a part", "[unit]") {
    auto readings = all_points([](auto&&, int, double) { return 0.0; });
    readings[4].level = Level::dbm(-12);  // head.out lane 1, with every point behind as planned
    const auto d = judged(readings);
    CHECK(d.verdict == ReadingsVerdict::suspicion);
    CHECK_FALSE(d.points[4].explained);
}

TEST_CASE("with a baseline a change shows that the tolerances would hide", "[unit]") {
    auto room = signal_room(kSmallChain);
    for (auto& run : room.venue.runs) run.tolerance = Gain::db(3);
    room.plan = make_signal_plan(room.venue, room.planned);
    // The left drop has always been 2.5 dB low; now the right one is.
    const auto was = all_points([](const std::string& port, int, double) { return port == "left.in" ? -2.5 : 0.0; });
    const auto now = all_points([](const std::string& port, int, double) {
        return port == "left.in" || port == "right.in" ? -2.5 : 0.0;
    });
    const auto d = diagnose(room.venue, room.plan, now, was);
    REQUIRE(d.faults.size() == 1);
    CHECK(d.faults[0].fault.part.name == "R4");
    CHECK(d.points[0].baseline.has_value());
    CHECK(diagnose(room.venue, room.plan, was, was).verdict == ReadingsVerdict::good);
}
