// SPDX-License-Identifier: Apache-2.0
// The probe at a display, the rehearsal at the head-end, a snooping bridge between them.
#include <map>

#include "commands/lab.hpp"

using namespace mastline::test;

namespace verify_live_test {

namespace {

const std::string kSend = "lab_head $REHEARSE $PLAN --interface head0 --for \"30 s\" ";
const std::string kVerify = "lab_display $PROBE verify --plan $PLAN --interface display0 --json $DIR/report.json ";
const std::string kStop = "kill $! 2>/dev/null; wait\n";

std::map<std::string, std::string> headlines(const nlohmann::json& report) {
    std::map<std::string, std::string> out;
    for (const auto& v : report["verdicts"])
        if (v["outcome"] != "passed") out[v["channel"]] = v["headline"].is_null() ? "" : v["headline"];
    return out;
}

// Groups that the switch still sends to the display.
std::string groups_left(const std::string& from) {
    return "sleep 1.5; lab_switch bridge mdb show dev br0 | grep -c 'port p-display grp " + from + "'\n";
}

}  // namespace

TEST_CASE("a lineup beyond the memberships of one socket is right, and its groups are left", "[live]") {
    const Lab lab("50 1");
    const auto result = lab.run(kSend + "> /dev/null & sleep 1\n" + kVerify +
                                "--for '4 s' > $DIR/text; echo status $?\n" + groups_left("239") +
                                "lab_display $PROBE verify --plan $PLAN --interface display0 --listen ring --for '3 s' --json $DIR/ring.json > /dev/null; "
                                "echo ring $?\n" + groups_left("239") + kStop);
    INFO(result.output);
    CHECK(result.output.find("status 0\n0\nring 0\n0\n") != std::string::npos);
    const auto report = lab.json("report.json");
    CHECK(headlines(report).empty());
    CHECK(report["channels_right"] == 50);
    CHECK(lab.json("ring.json")["channels_right"] == 50);
    CHECK(report["own_drops"] == 0);
    CHECK(read_text(lab.file("text")).find("50 of 50 channels are right") != std::string::npos);
}

TEST_CASE("every fault that a rehearsal can make is named, and nothing else", "[live]") {
    const Lab lab("16 3");
    const std::map<std::string, std::pair<std::string, std::string>> faults{
        {"101", {"missing", "flow.arrival"}},        {"102", {"wrong-service", "stream.service"}},
        {"103", {"loss", "flow.loss"}},              {"104", {"continuity", "stream.continuity"}},
        {"105", {"pcr-gap", "stream.pcr-interval"}}, {"106", {"pcr-jitter", "stream.pcr-jitter"}},
        {"107", {"no-pmt", "stream.pmt"}},           {"108", {"no-component", "stream.components"}},
        {"109", {"scrambled", "stream.scrambling"}}, {"110", {"sync-loss", "stream.sync"}},
        {"111", {"low-rate", "flow.rate"}},          {"112", {"second-source", "flow.source"}},
        {"113", {"duplicate", "flow.repeats"}},      {"114", {"reorder", "flow.order"}}};
    std::string wishes;
    std::map<std::string, std::string> expected;
    for (const auto& [channel, fault] : faults) {
        wishes += " --fault " + channel + ":" + fault.first;
        expected[channel] = fault.second;
    }
    const auto result = lab.run(kSend + wishes + " > /dev/null & sleep 1\n" + kVerify +
                                "--for '6 s' --junit $DIR/report.xml --html $DIR/report.html > /dev/null; echo status $?\n" + kStop);
    INFO(result.output);
    CHECK(result.output.find("status 1") != std::string::npos);
    CHECK(headlines(lab.json("report.json")) == expected);
    CHECK(lab.json("report.json")["verdicts"][1]["checks"].dump().find("group of 102 carries 103") != std::string::npos);
    const auto valid = run_command("/usr/bin/python3 " MASTLINE_SOURCE_DIR "/tests/report/check_schema.py " +
                                   lab.file("report.json") + " " MASTLINE_SOURCE_DIR "/probe/report/verification.schema.json 2>&1");
    INFO(valid.output);
    CHECK(valid.status == 0);
}

TEST_CASE("bare UDP, source-specific groups and IPv6 are received alike", "[live]") {
    for (const std::string kind : {"6 2 udp", "6 2 rtp source-specific", "6 2 rtp ipv6"}) {
        const Lab lab(kind);
        // Link-local addresses of a fresh IPv6 interface are tentative for up to two seconds.
        const auto result = lab.run("sleep 2.5\n" + kSend + "> /dev/null & sleep 1\n" + kVerify + "--for '4 s'; echo status $?\n" + kStop);
        INFO(kind << "\n" << result.output);
        CHECK(result.output.find("status 0") != std::string::npos);
    }
}

TEST_CASE("Ctrl-C and SIGTERM end a watch early: groups are left, the report is written", "[live]") {
    for (const std::string signal : {"INT", "TERM"}) {
        const Lab lab("6 1");
        const auto result = lab.run(kSend + "> /dev/null & SENDER=$!; sleep 1\n"
                                    "ip netns exec display $PROBE verify --plan $PLAN --interface display0 --for '60 s' "
                                    "> $DIR/text & WATCH=$!; sleep 4\n"
                                    "kill -" + signal + " $WATCH; wait $WATCH; echo status $?\n" +
                                    groups_left("239") + "kill $SENDER; wait\n");
        INFO(signal << "\n" << result.output);
        CHECK(result.output.find("status 0\n0\n") != std::string::npos);
        CHECK(read_text(lab.file("text")).find("6 of 6 channels are right") != std::string::npos);
    }
}

TEST_CASE("sockets need no privilege, and the querier is then not judged, and with it it is named", "[live]") {
    const Lab lab("4 1");
    const auto result = lab.run(kSend + "> /dev/null & sleep 1\n"
                                "lab_display setpriv --bounding-set=-all --inh-caps=-all $PROBE verify --plan $PLAN "
                                "--interface display0 --for '3 s' --json $DIR/plain.json > /dev/null; echo status $?\n" +
                                kVerify + "--for '7 s' > /dev/null\n" + kStop);
    INFO(result.output);
    CHECK(result.output.find("status 0") != std::string::npos);
    CHECK(lab.json("plain.json")["querier"]["outcome"] == "not-judged");
    // The lab's bridge asks every five seconds, from its own address.
    CHECK(lab.json("report.json")["querier"]["outcome"] == "passed");
    CHECK(lab.json("report.json")["querier"]["queriers"][0]["address"] == "10.99.0.254");
}

TEST_CASE("through the ring the verdicts are the same, and a flood shows as groups nobody asked for", "[live]") {
    const Lab lab("8 2");
    const auto result = lab.run(
        kSend + "> /dev/null & sleep 1\n"
        "/usr/bin/python3 " MASTLINE_SOURCE_DIR "/tests/commands/make_plan.py 5 2 > $DIR/five.toml\n"
        "lab_display $PROBE verify --plan $DIR/five.toml --interface display0 --listen ring --for '4 s' --json $DIR/report.json > /dev/null; echo status $?\n"
        "lab_switch ip link set br0 type bridge mcast_snooping 0; sleep 0.5\n"
        "lab_display $PROBE verify --plan $DIR/five.toml --interface display0 --listen ring --for '3 s' --json $DIR/flood.json > /dev/null\n" + kStop);
    INFO(result.output);
    CHECK(result.output.find("status 0") != std::string::npos);
    CHECK(lab.json("report.json")["channels_right"] == 5);
    CHECK(lab.json("report.json")["unasked"].size() == 0);
    CHECK(lab.json("flood.json")["unasked"].size() == 3);
}

TEST_CASE("a capture of the same watch gives the same verdicts", "[live]") {
    const Lab lab("5 2");
    const auto result = lab.run(kSend + "--fault 103:loss > /dev/null & sleep 1\n"
                                "lab_display dumpcap -q -i display0 -w $DIR/wire.pcapng -a duration:5 2> /dev/null &\n" +
                                kVerify + "--for '4 s' > /dev/null\nsleep 2\n"
                                "$PROBE read $DIR/wire.pcapng --plan $PLAN --json $DIR/reading.json > /dev/null; echo status $?\n"
                                "kill %1; wait\n");
    INFO(result.output);
    CHECK(result.output.find("status 1") != std::string::npos);
    const auto live = headlines(lab.json("report.json"));
    CHECK(live == std::map<std::string, std::string>{{"103", "flow.loss"}});
    CHECK(lab.json("reading.json")["verifications"][0]["verdicts"][2]["headline"] == "flow.loss");
}

TEST_CASE("survey lists groups, services, members and the querier, and exports them", "[live]") {
    const Lab lab("4 2");
    const auto result = lab.run(kSend + "> /dev/null & sleep 1\n"
                                "lab_display $PROBE survey --interface display0 --for '7 s' --join 239.192.10.2 239.192.10.3 "
                                "--json $DIR/survey.json --occupied $DIR/occupied.toml --channels $DIR/channels.csv > $DIR/text; echo status $?\n" + kStop);
    INFO(result.output);
    CHECK(result.output.find("status 0") != std::string::npos);
    CHECK(read_text(lab.file("text")).find("Service 2") != std::string::npos);
    CHECK(read_text(lab.file("occupied.toml")).find("groups = \"239.192.10.3\"\nwhat = \"Service 2\"") != std::string::npos);
    CHECK(read_text(lab.file("channels.csv")).find("number,name,group,port,remark\r\n1,Service 1,239.192.10.2,5004,") == 0);
    const auto survey = lab.json("survey.json");
    CHECK(survey["queriers"].size() >= 1);
    CHECK(survey["members"].size() >= 2);
    const auto valid = run_command("/usr/bin/python3 " MASTLINE_SOURCE_DIR "/tests/report/check_schema.py " +
                                   lab.file("survey.json") + " " MASTLINE_SOURCE_DIR "/probe/report/survey.schema.json 2>&1");
    INFO(valid.output);
    CHECK(valid.status == 0);
}

}  // namespace verify_live_test
