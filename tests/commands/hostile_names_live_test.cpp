// SPDX-License-Identifier: Apache-2.0
// Names that would do harm where they are shown, from a plan and from the air, through all that the probe writes.
#include <map>

#include "commands/lab.hpp"
#include "support/harm.hpp"

using namespace mastline::test;

namespace hostile_names_live_test {

namespace {

// As they stand between the quotes of a plan.
const std::string kRename = R"x(/usr/bin/python3 - $PLAN <<'EOF'
import sys
plan = open(sys.argv[1]).read()
for n, harm in enumerate(['<script>alert(1)</script>', '\\u202Egnp.exe', '=1+1', '\\u001b[31mred', 'two\\nlines', '\\"><img src=x onerror=y>'], 1):
    plan = plan.replace(f'name = "Channel {n}"', f'name = "{harm}"').replace(f'"Service {n}"', f'"{harm}"')
open(sys.argv[1], 'w').write(plan.replace('"Rehearsal Hall"', '"<b>Hall\\u202E"'))
EOF
)x";

bool has_markup(const std::string& text) {
    return text.find("<script>alert") != std::string::npos || text.find("<img src=x") != std::string::npos ||
           text.find("<b>Hall") != std::string::npos;
}

}  // namespace

TEST_CASE("names that would do harm are harmless in every output of the probe", "[live]") {
    const Lab lab("6 1");
    const auto result = lab.run(kRename +
                                "lab_head $REHEARSE $PLAN --interface head0 --for \"30 s\" --fault 101:no-component --fault 102:continuity --fault 103:loss "
                                "--fault 104:wrong-service --fault 105:scrambled > /dev/null & sleep 1\n"
                                "lab_display $PROBE verify --plan $PLAN --interface display0 --listen ring --for '4 s' --json $DIR/report.json --html $DIR/report.html "
                                "--junit $DIR/report.xml --evidence $DIR/evidence; echo status $?\n"
                                "lab_display $PROBE read $DIR/evidence/*.pcap > $DIR/read.txt 2>&1\n"
                                "lab_display $PROBE survey --interface display0 --for '4 s' --join 239.192.10.2 --join 239.192.10.3 --join 239.192.10.4 --json $DIR/survey.json --channels $DIR/survey.csv\n"
                                "lab_display timeout -s INT 4 $PROBE watch --plan $PLAN --interface display0 > $DIR/watch.txt 2>&1\n"
                                "kill $! 2>/dev/null; wait\n");
    INFO(result.output);
    REQUIRE(result.output.find("status 1") != std::string::npos);
    CHECK(unseen_in(result.output) == "");
    std::map<std::string, std::string> outputs;
    for (const std::string name : {"report.json", "report.html", "report.xml", "read.txt", "survey.json", "survey.csv", "watch.txt", "evidence/index.html"})
        outputs[name] = read_text(lab.file(name));
    for (const auto& [name, text] : outputs) {
        INFO(name << "\n" << text.substr(0, 2000));
        CHECK(!text.empty());
        CHECK(unseen_in(text) == "");
        if (name.ends_with("html") || name.ends_with("xml")) CHECK(!has_markup(text));
    }
    // The names are still there, told as text.
    CHECK(outputs["report.html"].find("&lt;script&gt;alert(1)") != std::string::npos);
    CHECK(outputs["report.xml"].find("&lt;script>alert(1)") != std::string::npos);
    CHECK(outputs["survey.csv"].find(",'=1+1") != std::string::npos);
    CHECK(lab.json("report.json")["verdicts"][2]["name"] == "=1+1");
}

}  // namespace hostile_names_live_test
