// SPDX-License-Identifier: Apache-2.0
// Evidence of failed verdicts: read again, it shows the same faults.
#include <filesystem>
#include <map>

#include "commands/lab.hpp"

using namespace mastline::test;

namespace evidence_live_test {

namespace {

const std::string kSend = "lab_head $REHEARSE $PLAN --interface head0 --for \"40 s\" ";
const std::string kVerify = "lab_display $PROBE verify --plan $PLAN --interface display0 --json $DIR/report.json ";
const std::string kStop = "kill $! 2>/dev/null; wait\n";

void check_schema(const Lab& lab, const std::string& file) {
    const auto valid = run_command("/usr/bin/python3 " MASTLINE_SOURCE_DIR "/tests/report/check_schema.py " + lab.file(file) +
                                   " " MASTLINE_SOURCE_DIR "/probe/report/verification.schema.json 2>&1");
    INFO(valid.output);
    CHECK(valid.status == 0);
}

const nlohmann::json* pointer(const nlohmann::json& capture, const std::string& check) {
    for (const auto& p : capture["look_at"])
        if (p["check"] == check) return &p;
    return nullptr;
}

const std::map<std::string, std::pair<std::string, std::string>> kFaults{
    {"102", {"wrong-service", "stream.service"}}, {"103", {"loss", "flow.loss"}},
    {"104", {"continuity", "stream.continuity"}}, {"105", {"pcr-gap", "stream.pcr-interval"}},
    {"106", {"sync-loss", "stream.sync"}},        {"107", {"second-source", "flow.source"}},
    {"108", {"duplicate", "flow.repeats"}},       {"109", {"reorder", "flow.order"}}};

}  // namespace

TEST_CASE("a capture kept of a failed verdict fails the same check when it is read again", "[live]") {
    for (const std::string way : {"sockets", "ring"}) {
        const Lab lab("10 3");
        std::string wishes = " --fault 101:missing";
        for (const auto& [channel, fault] : kFaults) wishes += " --fault " + channel + ":" + fault.first;
        const auto result = lab.run(
            kSend + wishes + " > /dev/null & sleep 1\n" + kVerify + "--listen " + way +
            " --for '8 s' --evidence $DIR/evidence --html $DIR/report.html > /dev/null; echo status $?\n" + kStop +
            "$PROBE read $DIR/evidence/channel-*.pcap --plan $PLAN --json $DIR/again.json > /dev/null; echo again $?\n"
            "tshark -r $DIR/evidence/membership.pcap 2>/dev/null | grep -c -i membership\n");
        INFO(way << "\n" << result.output);
        CHECK(result.output.find("status 1") != std::string::npos);
        CHECK(result.output.find("again 1") != std::string::npos);
        const auto report = lab.json("report.json");
        check_schema(lab, "report.json");
        const auto captures = report["evidence"]["captures"];
        REQUIRE(captures.size() == 9);
        CHECK(captures[0]["file"].is_null());  // nothing of 101 arrived
        CHECK(captures[0]["remark"].get<std::string>().find("10.99.0.2") != std::string::npos);
        CHECK(report["evidence"]["membership_file"] == "membership.pcap");
        const auto again = lab.json("again.json")["verifications"];
        REQUIRE(again.size() == 8);
        std::size_t file = 0;
        for (const auto& capture : captures) {
            if (capture["file"].is_null()) continue;
            const std::string channel = capture["channel"], wanted = kFaults.at(channel).second;
            INFO(channel << " " << capture.dump(1));
            const auto* look = pointer(capture, wanted);
            REQUIRE(look != nullptr);
            CHECK((*look)["shown_by_capture_alone"] == true);
            CHECK(capture["headers_rebuilt"] == (way == "sockets"));
            const auto size = std::filesystem::file_size(lab.file("evidence/" + capture["file"].get<std::string>()));
            CHECK(size < 1024 * 1024 + 1024);
            const auto verdicts = again[file++]["verdicts"];
            std::string headline;
            for (const auto& v : verdicts)
                if (v["channel"] == channel) headline = v["headline"].is_null() ? "" : v["headline"].get<std::string>();
            CHECK(headline == wanted);
            if (wanted != "stream.service") CHECK((*look)["packet"].get<int>() <= capture["packets"].get<int>());
        }
        const std::string page = read_text(lab.file("evidence/index.html"));
        CHECK(page.find("continuity_counter rises by one") != std::string::npos);
        CHECK(read_text(lab.file("report.html")).find("href=\"evidence/index.html\"") != std::string::npos);
    }
}

TEST_CASE("a plan without a fault leaves a folder that says so, and no capture", "[live]") {
    const Lab lab("3 1");
    const auto result = lab.run(kSend + "> /dev/null & sleep 1\n" + kVerify + "--for '3 s' --evidence $DIR/evidence > /dev/null; echo status $?\n" +
                                kStop + "ls $DIR/evidence/*channel* 2>/dev/null | wc -l\n");
    INFO(result.output);
    CHECK(result.output.find("status 0\n0\n") != std::string::npos);
    CHECK(read_text(lab.file("evidence/index.html")).find("No verdict failed.") != std::string::npos);
}

}  // namespace evidence_live_test
