// SPDX-License-Identifier: Apache-2.0
#include "mastline/cause/cause.hpp"

#include <random>
#include <set>

using namespace mastline;

namespace {

Verdict verdict(std::string channel, bool good, std::vector<std::string> parts) {
    Verdict out;
    out.channel = std::move(channel);
    out.parts = std::move(parts);
    out.checks.push_back({"flow.arrival", good ? Outcome::passed : Outcome::failed, {}, {}, {}});
    return out;
}

using Words = std::vector<std::string>;

}  // namespace

TEST_CASE("streams that fail together are explained by the part that only they share", "[unit]") {
    const auto found = explain({verdict("1", false, {"lane:a/1", "card:A1", "chassis:A"}),
                                verdict("2", false, {"lane:a/2", "card:A1", "chassis:A"}),
                                verdict("3", true, {"lane:a/1", "card:A2", "chassis:A"}),
                                verdict("4", true, {"lane:a/2", "card:A2", "chassis:A"})});
    REQUIRE(found.size() == 1);
    REQUIRE(found[0].set.size() == 1);
    CHECK(found[0].set[0].parts == Words{"card:A1"});
    CHECK(found[0].set[0].channels == Words{"1", "2"});
    CHECK(found[0].unexplained.empty());
}

TEST_CASE("one part that explains all is preferred to two that share the work", "[unit]") {
    const auto found = explain({verdict("1", false, {"card:A1", "chassis:A"}),
                                verdict("2", false, {"card:A2", "chassis:A"}),
                                verdict("3", true, {"card:B1", "chassis:B"})});
    REQUIRE(found.size() == 1);
    CHECK(found[0].set.size() == 1);
    CHECK(found[0].set[0].parts == Words{"chassis:A"});
}

TEST_CASE("parts that the plan cannot tell apart are named together", "[unit]") {
    const auto found = explain({verdict("1", false, {"carrier:x", "lane:w/3", "core"}),
                                verdict("2", false, {"carrier:x", "lane:w/3", "core"}),
                                verdict("3", true, {"carrier:y", "lane:w/4", "core"})});
    REQUIRE(found.size() == 1);
    CHECK(found[0].set[0].parts == Words{"carrier:x", "lane:w/3"});
}

TEST_CASE("two broken parts are found as the smallest set", "[unit]") {
    const auto found = explain({verdict("1", false, {"card:A1"}), verdict("2", false, {"card:A1"}),
                                verdict("3", false, {"card:B1"}), verdict("4", false, {"card:B1"}),
                                verdict("5", true, {"card:C1"})});
    REQUIRE(found.size() == 1);
    REQUIRE(found[0].set.size() == 2);
    CHECK(found[0].set[0].parts == Words{"card:A1"});
    CHECK(found[0].set[1].parts == Words{"card:B1"});
}

TEST_CASE("a failing channel whose every part also carries a right one stays unexplained", "[unit]") {
    const auto found = explain({verdict("1", false, {"card:A1"}), verdict("2", true, {"card:A1"}),
                                verdict("3", false, {"card:B1"})});
    REQUIRE(found.size() == 1);
    CHECK(found[0].unexplained == Words{"1"});
    CHECK(found[0].set[0].parts == Words{"card:B1"});
    CHECK(explain({verdict("1", false, {"a"}), verdict("2", true, {"a"})}).empty());
}

TEST_CASE("nothing fails, nothing is explained", "[unit]") {
    CHECK(explain({}).empty());
    CHECK(explain({verdict("1", true, {"a"})}).empty());
}

TEST_CASE("an explanation never blames a part that a right channel rests on, and blames what broke",
          "[property]") {
    for (unsigned seed = 1; seed <= 60; ++seed) {
        std::mt19937 random(seed);
        const std::string broken = "card:" + std::to_string(random() % 6);
        std::vector<Verdict> verdicts;
        std::set<std::string> good_parts;
        int failing = 0;
        for (int i = 0; i < 60; ++i) {
            const std::string card = "card:" + std::to_string(random() % 6);
            const std::string lane = "lane:" + std::to_string(random() % 8);
            const bool good = card != broken;
            verdicts.push_back(verdict(std::to_string(i), good, {lane, card}));
            if (good) good_parts.insert({lane, card});
            failing += good ? 0 : 1;
        }
        const auto found = explain(verdicts);
        if (failing == 0) continue;
        REQUIRE_FALSE(found.empty());
        CHECK(found[0].set[0].channels.size() == static_cast<std::size_t>(failing));
        bool named = false;
        for (const auto& part : found[0].set[0].parts) {
            named |= part == broken;
            CHECK(good_parts.count(part) == 0);
        }
        CHECK(named);
    }
}
