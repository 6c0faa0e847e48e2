// SPDX-License-Identifier: Apache-2.0
// Settings, parts, power, cards: the rows that sheets, CSV and workbook share.
#include <algorithm>
#include <catch2/catch.hpp>
#include <set>
#include <sstream>

#include "mastline/readings/readings_template.hpp"
#include "mastline/signal/lists.hpp"
#include "planner/sheets/sheet.hpp"
#include "planner/sheets/tables.hpp"
#include "tests/support/demo_plan.hpp"
#include "tests/support/sample_plan.hpp"

using namespace mastline;

namespace lists_test {

namespace {

bool has(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

// Text of the first row whose cell `key` is `text`.
std::string cell_of(const SheetTable& table, std::size_t key, const std::string& text,
                    std::size_t wanted) {
    for (const auto& row : table.rows)
        if (row.cells[key].text == text) {
            const auto& cell = row.cells[wanted];
            return cell.number ? fixed_text(*cell.number, cell.digits) : cell.text;
        }
    return "no row";
}

}  // namespace

TEST_CASE("the settings list tells what was given from what was found", "[unit]") {
    auto [venue, plan] = sample::make();
    Device& amplifier = venue.devices[2];
    REQUIRE(amplifier.kind == DeviceKind::amplifier);
    amplifier.data.trim_low = Gain::db(-10);
    amplifier.data.trim_high = Gain::db(0);
    amplifier.data.slope_high = Gain::db(8);
    amplifier.settings.slope = Gain::db(3);
    plan.signal.choices[2].trim = {Gain::db(-2), Gain::db(-2.5), Gain::db(-3), Gain::db(-4)};
    plan.signal.choices[2].slope = Gain::db(3);
    const auto table = settings_table(PlanIndex(venue, plan));
    std::vector<std::string> told;
    for (const auto& row : table.rows)
        if (row.cells[0].text == amplifier.name)
            told.push_back(row.cells[4].text + " " +
                           (row.cells[5].number ? fixed_text(*row.cells[5].number, 0)
                                                : row.cells[5].text) +
                           " " + fixed_text(*row.cells[6].number, 1) + " " + row.cells[7].text);
    CHECK(told == std::vector<std::string>{"trim 1 -2.0 found", "trim 2 -2.5 found", "trim 3 -3.0 found",
                                           "trim 4 -4.0 found", "slope all 3.0 given"});
    CHECK(cell_of(table, 0, "pad-1", 7) == "given");
}

TEST_CASE("parts are counted and set against the stock", "[unit]") {
    auto [venue, plan] = sample::make();
    venue.stock.pads = {{Gain::db(6), Gain::db(0.5), 12, {}}};
    const auto table = parts_table(PlanIndex(venue, plan));
    // Four pad places of four lanes each with 6 dB: sixteen, of which twelve are there.
    const auto row = std::find_if(table.rows.begin(), table.rows.end(), [](const Row& r) {
        return r.cells[0].text == "pad" && r.cells[1].text == "6.0 dB";
    });
    INFO(to_csv(table));
    REQUIRE(row != table.rows.end());
    CHECK(row->cells[2].number == 16.0);
    CHECK(row->cells[4].number == 12.0);
    CHECK(row->cells[4].fit == Fit::out);
    CHECK(cell_of(table, 1, "tuner 8", 2) == "8");
    CHECK(cell_of(table, 0, "switch", 2) == "14");
}

TEST_CASE("a supply's row has its reserve and what goes dark without it", "[unit]") {
    const auto [venue, plan] = sample::make();
    const PlanIndex index(venue, plan);
    const auto supplies = supply_table(index);
    REQUIRE(supplies.rows.size() == 1);
    const auto& cells = supplies.rows[0].cells;
    CHECK(cells[0].text == "pi-1");
    CHECK(cells[4].number == Approx(180));  // mA drawn of 500
    CHECK(cells[6].number == Approx(320));
    CHECK(cells[7].number == Approx(64.0));
    CHECK(cells[7].fit == Fit::good);
    CHECK(has(cells[9].text, "west/1 at 32 card inputs"));
    CHECK(cells[10].text == "101, 102");
    const auto fed = fed_part_table(index);
    REQUIRE(fed.rows.size() == 1);
    CHECK(fed.rows[0].cells[6].number == Approx(0.3));  // 18 V less 17.7 V
    CHECK(fed.rows[0].cells[9].number == Approx(3.7));  // over the 14 V that the LNB needs
}

TEST_CASE("the cards sheet names idle, standby and bought cards, moves and the bound", "[unit]") {
    auto [venue, plan] = sample::make();
    // An idle card, one kept for a loss, one to buy that is used and one that is not needed.
    for (const auto* name : {"spare-1", "spare-2", "new-1", "new-2"}) {
        Card card = venue.cards[0];
        card.name = name;
        card.slot = 0;
        card.state = card.name.starts_with("new") ? CardState::buy : CardState::installed;
        venue.cards.push_back(card);
    }
    plan.assignment.standby = {11};
    plan.assignment.to_buy = {12};
    plan.assignment.moves = {{0, 1, "A-9", 1, "its card is gone"}, {1, 1, "A-9", std::nullopt, "lost"}};
    plan.assignment.fewest_moves = true;
    plan.assignment.proofs = {{8, 7, false, "not decided", "tuner cards A-1 to B-4"}};
    const PlanIndex index(venue, plan);
    const auto table = card_table(index);
    CHECK(cell_of(table, 0, "spare-1", 6) == "idle");
    CHECK(cell_of(table, 0, "spare-2", 6) == "standby, kept idle for a loss");
    CHECK(cell_of(table, 0, "new-1", 6) == "in use");
    CHECK(cell_of(table, 0, "new-2", 6) == "not needed");
    const std::string body = card_sheet(index).body;
    const auto idle = body.substr(body.find("<dt>Idle cards</dt>"),
                                  body.find("<dt>Kept idle") - body.find("<dt>Idle cards</dt>"));
    CHECK(has(idle, "<a href=\"#t-card-10\">spare-1</a>"));
    CHECK_FALSE(has(idle, "spare-2"));
    CHECK(has(body, "<dt>Kept idle for a loss</dt><dd><a href=\"#t-card-11\">spare-2</a></dd>"));
    CHECK(has(body, "<dt>Cards to buy</dt><dd><a href=\"#t-card-12\">new-1</a></dd>"));
    CHECK(has(body, "2 carriages move; proven the fewest possible."));
    CHECK(has(body, ">its card is gone</td>"));
    CHECK(has(body, "<td class=\"out\">no home</td>"));
    CHECK(proof_table(index).rows[0].cells[3].fit == Fit::near);
    // A card that need not be bought is no part.
    CHECK(cell_of(parts_table(index), 0, "card, to buy", 2) == "1");
}

TEST_CASE("the test points on paper are those of readings.csv, each once, light without a frequency", "[unit]") {
    const auto [venue, plan] = sample::demo();
    const auto table = test_point_table(PlanIndex(venue, plan));
    std::istringstream csv(readings_template(venue, plan.signal));
    std::string line;
    std::getline(csv, line);
    std::set<std::string> told;
    std::size_t light = 0;
    for (const auto& row : table.rows) {
        REQUIRE(std::getline(csv, line));
        CHECK(line.starts_with(row.cells[0].text + "," + fixed_text(*row.cells[1].number, 0) + ","));
        CHECK(line.find("," + row.cells[2].text + ",") != std::string::npos);
        std::string all;
        for (const auto& cell : row.cells) all += (cell.number ? fixed_text(*cell.number, cell.digits) : cell.text) + "|";
        CHECK(told.insert(all).second);
        if (row.cells[3].text == "light") {
            ++light;
            CHECK_FALSE(row.cells[4].number);
        }
    }
    CHECK_FALSE(std::getline(csv, line));
    CHECK(light == 4);
}

}  // namespace lists_test
