// SPDX-License-Identifier: Apache-2.0
// What the probe finds on the wire, brought into a venue file by the planner.
#include <catch2/catch.hpp>

#include "commands/lab.hpp"
#include "support/program.hpp"

using namespace mastline::test;

namespace {

std::string toml_as_json(const std::string& file) {
    const auto out = run_command("/usr/bin/python3 -c \"import json, sys, tomllib; print(json.dumps(tomllib.load(open(sys.argv[1], 'rb'))))\" " + file);
    REQUIRE(out.status == 0);
    return out.output;
}

}  // namespace

TEST_CASE("channels that a survey finds are imported by group, and comments of the file stay", "[live]") {
    const Lab lab("4 2");
    const auto survey = lab.run("lab_head $REHEARSE $PLAN --interface head0 --for \"20 s\" > /dev/null & sleep 1\n"
                                "lab_display $PROBE survey --interface display0 --for '4 s' --join 239.192.10.2 239.192.10.3 239.192.10.4 "
                                "--channels $DIR/now.csv > /dev/null; echo status $?\nkill $! 2>/dev/null; wait\n");
    INFO(survey.output);
    REQUIRE(survey.output.find("status 0") != std::string::npos);
    const auto into = lab.file("channels.toml");
    write_text(into,
               "# the lineup of the west stand\n\n[[channel]]\nnumber = 205   # agreed with the bar\nname = \"Old name\"\n"
               "service = \"news\"\ngroup = \"239.192.10.3\"  # do not change\n");
    const auto import = planner("import " + lab.file("now.csv") + " --into " + into + " --by group");
    INFO(import.output);
    REQUIRE(import.status == 0);
    const auto text = read_text(into);
    INFO(text);
    for (const char* comment : {"# the lineup of the west stand", "# agreed with the bar", "# do not change"})
        CHECK(text.find(comment) != std::string::npos);
    const auto channels = nlohmann::json::parse(toml_as_json(into))["channel"];
    REQUIRE(channels.size() == 3);
    CHECK(channels[0]["number"] == 205);
    CHECK(channels[0]["name"] == "Service 2");
    CHECK(channels[0]["service"] == "news");
    CHECK(channels[1]["name"] == "Service 1");
    CHECK(channels[1]["group"] == "239.192.10.2");
    CHECK(channels[2]["name"] == "Service 3");
    CHECK(channels[2]["port"] == 5004);
    // A second time there is nothing to do.
    CHECK(planner("import " + lab.file("now.csv") + " --into " + into + " --by group").output.find("0 new, 0 changed, 3 unchanged") !=
          std::string::npos);
    CHECK(read_text(into) == text);
}
