// SPDX-License-Identifier: Apache-2.0
// The order in which things stand in the venue's files says nothing: the plan file is the same to the
// letter, but for the lines that findings point to and the revision, which is reckoned over them too.
#include <catch2/catch.hpp>

#include <sstream>

#include "mastline/plan/write_plan.hpp"
#include "support/assignment_instances.hpp"
#include "support/paths.hpp"
#include "support/temp_folder.hpp"
#include "support/venue_texts.hpp"

using namespace mastline;
using namespace mastline::test;

namespace file_order_test {

namespace {

using Texts = std::map<std::string, std::string>;

Texts demo_texts() {
    Texts out;
    for (const char* name : {"venue.toml", "roof.toml", "broadcast.toml", "house.toml", "head-end.toml", "network.toml", "channels.csv"})
        out[name] = read_text(std::string(MASTLINE_SOURCE_DIR "/lineups/quillwater-arena/") + name);
    return out;
}

void shuffle(std::vector<std::string>& pieces, SeededDice& dice) {
    for (std::size_t i = pieces.size(); i-- > 1;) std::swap(pieces[i], pieces[static_cast<std::size_t>(dice.roll(0, static_cast<int>(i)))]);
}

std::string joined(const std::vector<std::string>& pieces) {
    std::string out;
    for (const auto& piece : pieces) out += piece;
    return out;
}

// All lines but the first in another order.
std::string rows_shuffled(const std::string& csv, SeededDice& dice) {
    std::istringstream in(csv);
    std::string head, line;
    std::getline(in, head);
    std::vector<std::string> rows;
    while (std::getline(in, line)) rows.push_back(line + "\n");
    shuffle(rows, dice);
    return head + "\n" + joined(rows);
}

// The tables of one kind in another order, at the places where they stood.
std::string tables_shuffled(const std::string& toml, const std::string& kind, SeededDice& dice) {
    std::vector<std::string> pieces{""};
    std::istringstream in(toml);
    for (std::string line; std::getline(in, line);) {
        if (line.starts_with("[")) pieces.emplace_back();
        pieces.back() += line + "\n";
    }
    std::vector<std::string> of_kind;
    for (const auto& piece : pieces)
        if (piece.starts_with("[[" + kind + "]]")) of_kind.push_back(piece);
    shuffle(of_kind, dice);
    std::size_t next = 0;
    for (auto& piece : pieces)
        if (piece.starts_with("[[" + kind + "]]")) piece = of_kind[next++];
    return joined(pieces);
}

std::string planned(const Texts& texts) {
    const auto loaded = load(texts);
    std::istringstream in(write_plan(loaded.venue, make_plan(loaded.venue)));
    std::string out;
    for (std::string line; std::getline(in, line);)
        if (!line.starts_with("place = ") && !line.starts_with("revision = ")) out += line + "\n";
    return out;
}

}  // namespace

TEST_CASE("the demo's plan does not depend on the order of channels and services in its files", "[property]") {
    const auto texts = demo_texts();
    const auto plan = planned(texts);
    REQUIRE(plan.size() > 10'000);
    SeededDice dice(11);
    for (int round = 0; round < 3; ++round) {
        auto other = texts;
        other["channels.csv"] = rows_shuffled(other["channels.csv"], dice);
        if (round > 0) other["broadcast.toml"] = tables_shuffled(other["broadcast.toml"], "service", dice);
        CHECK(other != texts);
        CHECK(planned(other) == plan);
    }
}

}  // namespace file_order_test
