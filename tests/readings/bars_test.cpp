// SPDX-License-Identifier: Apache-2.0
// How often the diagnosis is right, on faults of a simulator that knows nothing of it, over the demo
// venue and venues made from seeds. The figures are printed.
#include <catch2/catch.hpp>

#include <cstdio>
#include <set>

#include "mastline/venue/load_venue.hpp"
#include "readings/fault_simulator.hpp"
#include "readings/reading_venues.hpp"
#include "support/paths.hpp"
#include "support/signal_room.hpp"
#include "support/temp_folder.hpp"

using namespace mastline;
using namespace mastline::test;

namespace {

constexpr std::size_t kVenues = 5;

class DemoFiles : public VenueFiles {
public:
    std::optional<std::string> read(const std::string& name) override {
        return read_text(std::string(MASTLINE_SOURCE_DIR "/lineups/quillwater-arena/") + name);
    }
};

struct Site {
    std::string name;
    Venue venue;
    SignalPlan plan;
};

Site site(std::size_t number) {
    Site out;
    Findings findings;
    if (number == 0) {
        DemoFiles files;
        out.name = "demo";
        out.venue = load_venue(files, "venue.toml", findings);
    } else {
        const auto seed = static_cast<std::uint32_t>(100 + number);
        VenueMaker maker(seed);
        const bool tree = number % 2 == 0;
        out.name = (tree ? "off-air tree " : "fibre trunk ") + std::to_string(seed);
        auto room = signal_room(tree ? maker.off_air_tree() : maker.fibre_trunk());
        findings = room.findings;
        out.venue = std::move(room.venue);
    }
    REQUIRE_FALSE(has_errors(findings));
    out.plan = make_signal_plan(out.venue, findings);
    return out;
}

struct Score {
    int sets = 0, first = 0, listed = 0, in_section = 0, too_wide = 0, accused = 0, suspected = 0, both = 0;
    void add(const Score& o) {
        sets += o.sets, first += o.first, listed += o.listed, in_section += o.in_section;
        too_wide += o.too_wide, accused += o.accused, suspected += o.suspected, both += o.both;
    }
    double share(int n) const { return sets == 0 ? 0 : 100.0 * n / sets; }
};

void print(const std::string& what, const std::string& where, const Score& s) {
    std::printf("readings: %s, %s: %d sets, first %.1f %%, listed %.1f %%, section %.1f %%, wider than need be %d, "
                "accused %d, suspected %d, both %.1f %%\n",
                what.c_str(), where.c_str(), s.sets, s.share(s.first), s.share(s.listed), s.share(s.in_section),
                s.too_wide, s.accused, s.suspected, s.share(s.both));
}

// Over all venues; `one` scores one set.
template <class One>
Score over_venues(const std::string& what, int sets_per_venue, std::uint32_t seed, One&& one) {
    Score all;
    for (std::size_t v = 0; v < kVenues; ++v) {
        const auto s = site(v);
        FaultSimulator sim(s.venue, s.plan.choices, seed + static_cast<std::uint32_t>(v));
        Score here;
        for (int i = 0; i < sets_per_venue; ++i) one(s, sim, here), ++here.sets;
        print(what, s.name, here);
        all.add(here);
    }
    print(what, "all", all);
    return all;
}

void score_fault(const Diagnosis& d, const TrueFault& fault, Score& score) {
    score.first += !d.explanations.empty() && d.explanations[0].part == fault.part &&
                   d.faults[0].fault.part == fault.part;
    for (const auto& e : d.explanations) score.listed += e.part == fault.part;
    if (d.faults.empty()) return;
    const auto& section = d.faults[0].section;
    score.in_section += std::find(section.begin(), section.end(), fault.part) != section.end();
}

// A third of the ports, each with all its lanes.
std::vector<MeterPoint> a_third(FaultSimulator& sim) {
    std::set<PortRef> ports, kept;
    for (const auto& point : sim.points()) ports.insert(point.port);
    for (const auto& port : ports)
        if (sim.below(3) == 0) kept.insert(port);
    std::vector<MeterPoint> out;
    for (const auto& point : sim.points())
        if (kept.contains(point.port)) out.push_back(point);
    return out;
}

// Whether a fault of some lane or port of a part would change the same points.
bool could_be(const FaultSimulator& sim, const Site& s, const ChainPart& part, const TrueFault& fault,
              const std::vector<MeterPoint>& at) {
    auto flat = fault;  // a tilt or a slope leaves some frequencies as they are
    if (flat.change) flat.change = [](double) { return -5.0; };
    const auto shown = sim.changed(flat, at);
    TrueFault other;
    other.part = part;
    std::vector<std::string> ports{""};
    if (part.kind == PartKind::device)
        for (const auto& device : s.venue.devices)
            if (device.name == part.name)
                for (const auto& port : device.ports) ports.push_back(port.name);
    for (const auto& port : ports)
        for (int lane = 0; lane <= 6; ++lane)
            for (const bool light : {false, true}) {
                other.port = port, other.lane = lane, other.light = light ? -3 : 0, other.change = {};
                if (!light) other.change = [](double) { return -5.0; };
                if (sim.changed(other, at) == shown) return true;
            }
    return false;
}

}  // namespace

TEST_CASE("the plan's levels are the simulator's, at every point of every venue", "[outside]") {
    for (std::size_t v = 0; v < kVenues; ++v) {
        const auto s = site(v);
        INFO(s.name);
        FaultSimulator sim(s.venue, s.plan.choices, 1);
        const auto d = diagnose(s.venue, s.plan, sim.read(sim.points(), {}, {}, 0));
        REQUIRE(d.points.size() == sim.points().size());
        for (const auto& point : d.points) {
            INFO(to_text(point.reading.point));
            CHECK(std::abs(point.deviation.db()) < 0.02);
        }
    }
}

TEST_CASE("of 500 faults, every point read, the part is named first in 95 % and listed in 99 %", "[property]") {
    const auto all = over_venues("one fault, nominal parts", 100, 11, [](const Site& s, FaultSimulator& sim, Score& score) {
        const auto fault = sim.draw_fault();
        score_fault(diagnose(s.venue, s.plan, sim.read(sim.points(), {fault})), fault, score);
    });
    CHECK(all.sets == 500);
    CHECK(all.share(all.first) >= 95);
    CHECK(all.share(all.listed) >= 99);
}

TEST_CASE("the same with parts anywhere within their tolerances", "[property]") {
    const auto all = over_venues("one fault, parts within tolerance", 40, 12, [](const Site& s, FaultSimulator& sim, Score& score) {
        const auto fault = sim.draw_fault();
        score_fault(diagnose(s.venue, s.plan, sim.read(sim.points(), {fault}, sim.draw_parts())), fault, score);
    });
    CHECK(all.sets == 200);
    CHECK(all.share(all.first) >= 85);  // less is asked: a tolerance may hide or feign 2 dB
    CHECK(all.share(all.listed) >= 95);
}

TEST_CASE("with a third of the points read, the section holds the part in 99 % and is no wider than need be", "[property]") {
    const auto all = over_venues("one fault, a third read", 60, 13, [](const Site& s, FaultSimulator& sim, Score& score) {
        auto at = a_third(sim);
        auto fault = sim.draw_fault();
        while (!sim.shows(fault, at)) at = a_third(sim), fault = sim.draw_fault();
        const auto d = diagnose(s.venue, s.plan, sim.read(at, {fault}));
        Score one;
        score_fault(d, fault, one);
        if (one.in_section > 0 && fault.what != "crossed" && !fault.dead)
            for (const auto& part : d.faults[0].section)
                if (!could_be(sim, s, part, fault, at)) {
                    one.too_wide = 1;
                    std::printf("readings: %s does not belong to the section of %s (%s)\n", to_text(part).c_str(),
                                to_text(fault.part).c_str(), fault.what.c_str());
                }
        score.add(one);
    });
    CHECK(all.sets == 300);
    CHECK(all.share(all.in_section) >= 99);
    CHECK(all.share(all.too_wide) <= 1);
}

TEST_CASE("200 sets without a fault accuse nobody", "[property]") {
    const auto count = [](const Site& s, FaultSimulator& sim, Score& score, bool draw) {
        const auto d = diagnose(s.venue, s.plan, sim.read(sim.points(), {}, draw ? sim.draw_parts() : PartDraws{}));
        score.accused += d.verdict == ReadingsVerdict::fault;
        score.suspected += d.verdict == ReadingsVerdict::suspicion;
    };
    const auto nominal = over_venues("no fault, nominal parts", 40, 14, [&](const Site& s, FaultSimulator& sim, Score& score) {
        count(s, sim, score, false);
    });
    CHECK(nominal.sets == 200);
    CHECK(nominal.accused + nominal.suspected == 0);
    const auto drawn = over_venues("no fault, parts within tolerance", 10, 15, [&](const Site& s, FaultSimulator& sim, Score& score) {
        count(s, sim, score, true);
    });
    CHECK(drawn.accused == 0);
}

TEST_CASE("of two faults at once, both parts are named in 80 %", "[property]") {
    const auto all = over_venues("two faults, nominal parts", 20, 16, [](const Site& s, FaultSimulator& sim, Score& score) {
        const auto a = sim.draw_fault();
        auto b = sim.draw_fault();
        while (b.part == a.part) b = sim.draw_fault();
        const auto d = diagnose(s.venue, s.plan, sim.read(sim.points(), {a, b}));
        int named = 0;
        for (const auto& f : d.faults) named += f.fault.part == a.part || f.fault.part == b.part;
        score.both += named == 2;
    });
    CHECK(all.sets == 100);
    CHECK(all.share(all.both) >= 80);
}
