// SPDX-License-Identifier: Apache-2.0
#include "mastline/readings/readings_template.hpp"

#include <catch2/catch.hpp>

#include "mastline/readings/diagnosis.hpp"
#include "mastline/readings/read_readings.hpp"
#include "readings/fault_simulator.hpp"
#include "readings/reading_venues.hpp"
#include "readings/small_chain.hpp"

using namespace mastline;
using namespace mastline::test;

TEST_CASE("the template has a blank for each lane of each test point at both edges", "[unit]") {
    const auto room = small_chain();
    const auto text = readings_template(room.venue, room.plan);
    CHECK(text.starts_with("test point,lane,frequency,level,unit,time,instrument,signal,expected dBm,lowest dBm,highest dBm\r\n"
                           "head.in,1,1000 MHz,,dBm,,,dish/1,-40.0,-40.0,-40.0\r\n"
                           "head.in,1,2000 MHz,,dBm,,,dish/1,-40.0,-40.0,-40.0\r\n"
                           "head.in,2,1000 MHz,,dBm,,,dish/2,-43.0,-43.0,-43.0\r\n"));
    CHECK(std::count(text.begin(), text.end(), '\n') == 1 + 7 * 4);
    Findings findings;
    CHECK(read_readings(text, "readings.csv", room.venue, room.plan, findings).empty());
    CHECK(findings.empty());
}

TEST_CASE("the template asks for carriers where there are any", "[unit]") {
    auto room = small_chain();
    for (auto& level : room.plan.levels)
        if (level.port == PortRef{"head", "in"}) level.carriers = {level.low, level.low, level.high};
    const auto text = readings_template(room.venue, room.plan);
    CHECK(std::count(text.begin(), text.end(), '\n') == 1 + 6 * 4 + 2 * 3);
}

// Filled in with the simulator's own levels and given back as it is.
TEST_CASE("a template filled in can be given back", "[unit]") {
    for (const std::uint32_t seed : {1U, 2U, 3U, 4U}) {
        VenueMaker maker(seed);
        const auto room = signal_room(seed % 2 == 0 ? maker.off_air_tree() : maker.fibre_trunk());
        REQUIRE_FALSE(has_errors(room.findings));
        FaultSimulator meter(room.venue, room.plan.choices, seed);
        std::string filled;
        std::size_t rows = 0;
        const auto text = readings_template(room.venue, room.plan);
        for (std::size_t from = 0, to = 0; (to = text.find("\r\n", from)) != std::string::npos; from = to + 2, ++rows) {
            auto row = text.substr(from, to - from);
            if (rows > 0) {
                std::vector<std::size_t> commas;
                for (std::size_t c = row.find(','); c != std::string::npos; c = row.find(',', c + 1)) commas.push_back(c);
                const auto ref = row.substr(0, commas[0]);
                const auto mhz = row.substr(commas[1] + 1, commas[2] - commas[1] - 1);
                MeterPoint point{{ref.substr(0, ref.find('.')), ref.substr(ref.find('.') + 1)},
                                 LaneNumber{std::stoi(row.substr(commas[0] + 1))},
                                 mhz.empty() ? std::nullopt : std::optional(*parse_frequency(mhz))};
                row.insert(commas[2] + 1, fixed_text(meter.level(point, {}).value(), 1));
            }
            filled += row + "\r\n";
        }
        Findings findings;
        const auto readings = averaged(read_readings(filled, "readings.csv", room.venue, room.plan, findings));
        CHECK(findings.empty());
        CHECK(readings.size() == rows - 1);
        const auto d = diagnose(room.venue, room.plan, readings);
        CHECK(d.verdict == ReadingsVerdict::good);
        for (const auto& point : d.points) CHECK(std::abs(point.deviation.db()) < 0.11);
    }
}
