// SPDX-License-Identifier: Apache-2.0
// The readings command as its user meets it: the real program, a sheet that build wrote, filled in.
#include <catch2/catch.hpp>

#include <functional>

#include <nlohmann/json.hpp>

#include "support/paths.hpp"
#include "support/program.hpp"
#include "support/temp_folder.hpp"

namespace readings_command_test {

using Json = nlohmann::ordered_json;

namespace {

using namespace mastline::test;

std::vector<std::string> fields_of(const std::string& row) {
    std::vector<std::string> out{""};
    for (const char c : row)
        if (c == ',') out.emplace_back();
        else out.back() += c;
    return out;
}

struct Site {
    TempFolder folder;
    std::string venue = MASTLINE_SOURCE_DIR "/lineups/quillwater-arena", out = folder.file("out");
    CommandResult built = planner("build " + venue + " --out " + out);

    // The template with a level in every row: the expected one and what is added to it.
    std::string filled(const std::string& name, const std::function<double(const std::vector<std::string>&)>& change) {
        std::string text;
        const auto blank = read_text(out + "/readings.csv");
        for (std::size_t from = 0, to = 0; (to = blank.find("\r\n", from)) != std::string::npos; from = to + 2) {
            auto fields = fields_of(blank.substr(from, to - from));
            if (from > 0) fields.at(3) = std::to_string(std::stod(fields.at(8)) + change(fields));
            for (std::size_t i = 0; i < fields.size(); ++i) text += (i > 0 ? "," : "") + fields[i];
            text += "\r\n";
        }
        write_text(folder.file(name), text);
        return folder.file(name);
    }
};

std::string schema_faults(const std::string& file) {
    return run_command("/usr/bin/python3 -m jsonschema -i '" + file + "' " MASTLINE_SOURCE_DIR
                       "/planner/commands/readings.schema.json 2>&1 | grep -v -e Deprecat -e 'import main'").output;
}

}  // namespace

TEST_CASE("a template filled in as planned is good, accepted, and compared with later", "[unit]") {
    Site site;
    REQUIRE(site.built.status == 0);
    const auto good = site.filled("good.csv", [](auto&&) { return 0.0; });
    const auto base = site.folder.file("base.toml");
    const auto first = planner("readings " + site.venue + " " + good + " --accept " + base);
    INFO(first.output);
    CHECK(first.status == 0);
    CHECK(first.output.starts_with("GOOD: "));
    CHECK(first.output.find("accepted as the baseline: " + base) != std::string::npos);
    const auto later = planner("readings " + site.venue + " " + good + " --baseline " + base);
    CHECK(later.status == 0);
    CHECK(later.output.find("0 changed by more than 2.0 dB") != std::string::npos);
}

TEST_CASE("a lane that is low is named first, in text and JSON, and not accepted", "[outside]") {
    Site site;
    const auto bad = site.filled("bad.csv", [](const std::vector<std::string>& row) {
        return row[0] == "ms-3.in" && row[1] == "2" ? -6.0 : 0.0;
    });
    const auto json = site.folder.file("bad.json"), base = site.folder.file("base.toml");
    const auto result = planner("readings " + site.venue + " " + bad + " --json " + json + " --accept " + base);
    INFO(result.output);
    CHECK(result.status == 1);
    CHECK(result.output.starts_with("FAULT: 1 part named"));
    CHECK(result.output.find("run T3 lane 2: flat loss of") != std::string::npos);
    CHECK(result.output.find("departs at  ms-3.in lane 2") != std::string::npos);
    CHECK(result.output.find("not accepted") != std::string::npos);
    CHECK_FALSE(std::filesystem::exists(base));
    CHECK(schema_faults(json) == "");
    const auto parsed = Json::parse(read_text(json));
    CHECK(parsed["schema"] == "mastline-readings 1");
    CHECK(parsed["outcome"] == "fault");
    CHECK(parsed["diagnosis"]["faults"][0]["part"] == Json({{"kind", "run"}, {"name", "T3"}}));
    const auto here = planner("readings " + site.venue + " " + bad + " --json -");
    CHECK(here.output == read_text(json));
}

TEST_CASE("readings fit their JSON Schema when all is good and when the sheet is unusable", "[outside]") {
    Site site;
    const auto json = site.folder.file("out.json");
    const auto good = site.filled("good.csv", [](auto&&) { return 0.0; });
    REQUIRE(planner("readings " + site.venue + " " + good + " --json " + json).status == 0);
    CHECK(schema_faults(json) == "");
    CHECK(Json::parse(read_text(json))["outcome"] == "good");
    const auto blank = planner("readings " + site.venue + " " + site.out + "/readings.csv --json " + json);
    CHECK(blank.status == 2);
    CHECK(blank.output.find("error: readings.none: no level is filled in") != std::string::npos);
    CHECK(schema_faults(json) == "");
    CHECK(Json::parse(read_text(json))["outcome"] == "unusable");
}

TEST_CASE("what readings cannot use is refused with exit status 2 and a way out", "[input]") {
    Site site;
    const auto good = site.filled("good.csv", [](auto&&) { return 0.0; });
    const auto refused = [&](const std::string& arguments, const std::string& why) {
        const auto result = planner("readings " + arguments + " 2>&1");
        INFO(arguments << ": " << result.output);
        CHECK(result.status == 2);
        CHECK(result.output.find(why) != std::string::npos);
    };
    refused(site.venue + " " + site.folder.file("none.csv"), "there is no sheet of readings at");
    refused(site.venue + " " + good + " --baseline " + site.folder.file("none.toml"), "there is no baseline at");
    refused(site.venue + " " + good + " --baseline " + site.out + "/plan.toml", "readings.not-a-baseline");
    refused(site.venue + " " + good + " --meter '1 dBm'", "--meter: \"1 dBm\" has the unit \"dBm\"");
    refused(site.venue + " " + good + " --meter '0 dB'", "it must be 0.1 dB to 6 dB");
    write_text(site.folder.file("wrong.csv"), "test point,lane,frequency,level\nreceiver.out,1,950 MHz,-30 dB\n"
                                              "receiver.exit,1,950 MHz,-30 dBm\nreceiver.out,5,950 MHz,-30 dBm\n");
    const auto base = site.folder.file("base.toml");
    refused(site.venue + " " + site.folder.file("wrong.csv") + " --accept " + base, "3 errors");
    CHECK_FALSE(std::filesystem::exists(base));
}

}  // namespace readings_command_test
