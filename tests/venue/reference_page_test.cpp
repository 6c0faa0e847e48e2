// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include <algorithm>
#include <set>

#include "mastline/venue/reference_page.hpp"
#include "planner/venue/sections.hpp"
#include "support/paths.hpp"
#include "support/temp_folder.hpp"

using namespace mastline;

TEST_CASE("the reference page in the tree is what the program prints", "[unit]") {
    CHECK(test::read_text(MASTLINE_SOURCE_DIR "/planner/venue/REFERENCE.md") == reference_page());
}

TEST_CASE("every section and key of the readers is on the reference page", "[unit]") {
    const auto page = reference_page();
    for (const auto& section : all_sections())
        for (const auto* doc : section.docs) {
            INFO(doc->heading);
            CHECK(page.find("`" + std::string(doc->heading) + "`") != std::string::npos);
            for (const auto& key : doc->keys) {
                INFO(key.name);
                CHECK(page.find("| `" + std::string(key.name) + "` |") != std::string::npos);
                CHECK_FALSE(key.meaning.empty());
                CHECK_FALSE(key.type.empty());
            }
        }
}

TEST_CASE("no key stands twice in a table and no section twice in the list", "[unit]") {
    std::set<std::string_view> sections;
    for (const auto& section : all_sections()) {
        CHECK(sections.insert(section.key).second);
        for (const auto* doc : section.docs) {
            std::set<std::string_view> keys;
            for (const auto& key : doc->keys) {
                INFO(doc->heading << " " << key.name);
                CHECK(keys.insert(key.name).second);
            }
        }
    }
}

TEST_CASE("the columns of the channel list are the keys of a channel", "[unit]") {
    const auto page = reference_page();
    const auto csv = page.substr(page.find("## Channel list in CSV"));
    for (const auto* column : {"number", "name", "class", "genre", "service", "input", "protected"})
        CHECK(csv.find("| `" + std::string(column) + "` |") != std::string::npos);
}
