// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "plan_builder.hpp"
#include "tools/rehearse/plan_text.hpp"
#include "tools/rehearse/stream/channel_stream.hpp"

using namespace mastline;
using namespace mastline::test;

namespace {

std::vector<std::string> faults_of(const std::string& text) {
    Findings findings;
    CHECK_FALSE(lineup_from_text(text, "plan.toml", findings));
    std::vector<std::string> out;
    for (const auto& finding : findings) out.push_back(to_line(finding));
    return out;
}

std::vector<std::string> faults_of(const Expectation& flow) {
    return faults_of(plan_text({flow}));
}

}  // namespace

TEST_CASE("a plan that makes no legal stream is refused, flow by flow", "[input]") {
    Expectation flow = television();
    flow.rate = BitRate(100'000);
    CHECK(faults_of(flow) ==
          std::vector<std::string>{"plan.toml: error: rehearsal.rate-too-low: channel 101: the "
                                   "planned rate does not hold the tables and "
                                   "components (0.1 Mbit/s); at least " +
                                   to_text(ChannelStream::least_rate(flow))});
    flow = television();
    flow.components[1].pid = flow.components[0].pid;
    flow.pmt_pid = Pid(17);
    CHECK(faults_of(flow) ==
          std::vector<std::string>{"plan.toml: error: rehearsal.reserved-pid: channel 101: the PMT "
                                   "is on PID 17; PIDs below 32 are kept for "
                                   "tables; take one from 32 to 8190",
                                   "plan.toml: error: rehearsal.pid-used-twice: channel 101: a "
                                   "component (h264) and a component (aac) are "
                                   "both on PID 257; give each its own PID"});
    flow = television();
    flow.pcr_pid = flow.pmt_pid;
    CHECK(faults_of(flow).front().find("the PMT and the PCR are both on PID 256") !=
          std::string::npos);
    flow = television();
    flow.service_name = std::string(251, 'x');
    flow.components[1].language = "english";
    CHECK(faults_of(flow).size() == 2);
    CHECK(faults_of(flow)[1].find(
              "the language of PID 258 is \"english\"; ISO 639-2 codes have three letters") !=
          std::string::npos);
}

TEST_CASE("a plan with a wrong key, or without a flow, is refused with its place", "[input]") {
    std::string text = plan_text({television()});
    text.replace(text.find("dscp = 34"), 9, "dcsp = 34");
    const auto faults = faults_of(text);
    REQUIRE_FALSE(faults.empty());
    CHECK(faults[0].starts_with("plan.toml:"));
    CHECK(faults_of(plan_text({}) + "flow = []\n") ==
          std::vector<std::string>{"plan.toml: error: rehearsal.no-flow: the plan has no flow; "
                                   "plan at least one channel"});
    CHECK(faults_of("x = ").front().find("file.not-toml") != std::string::npos);
}

TEST_CASE("wrong use is refused with status 2 and no file", "[input]") {
    const TempFolder folder;
    const std::string plan = folder.file("plan.toml"), out = folder.file("out");
    write_text(plan, plan_text({television(), radio()}));
    const auto refused = [&](const std::string& arguments, const std::string& words) {
        const auto result = run_rehearse(arguments);
        INFO(arguments << ": " << result.output);
        CHECK(result.status == 2);
        CHECK(result.output.find(words) != std::string::npos);
        CHECK_FALSE(std::filesystem::exists(out));
    };
    const std::string write = plan + " --write " + out;
    refused("", "write mastline-rehearse PLAN --interface IF");
    refused(plan, "write mastline-rehearse PLAN --interface IF");
    refused(plan + " --interface lo --write " + out, "write mastline-rehearse PLAN --interface IF");
    refused(folder.file("none.toml") + " --write " + out, "there is no plan at ");
    refused(folder.path().parent_path().string() + " --write " + out, "/plan.toml; mastline-planner build");
    refused(write + " --nonsense", "--nonsense");
    refused(write + " --for 10", "\"10\" has no unit");
    refused(write + " --for 0s", "more than 0 s");
    refused(write + " --fault 101:los --fault 9:loss", "did you mean 'loss'?");
    refused(write + " --fault 101:los --fault 9:loss", "it has 101, 102");
    refused(write + " --fault 101:low-rate,percent=2%",
            "does not hold the tables and components; at least");
    refused(write + " --play 101", "write --play CHANNEL=FILE");
    refused(write + " --play 101=" + folder.file("none.ts"), "No such file or directory");
    refused(write + " --play 101=" + plan, "no transport packets");
    refused(write + " --play 101=" + plan + " --fault 101:low-rate",
            "a played file has its own rate");
}

TEST_CASE("the kinds of fault are listed with their parameters", "[unit]") {
    const auto result = run_rehearse("--list-faults");
    CHECK(result.status == 0);
    CHECK(
        result.output.find(
            "\nloss           datagrams are not sent\n                 rate= percentage: share of "
            "datagrams, drawn at random (the same on every run); 1%\n") != std::string::npos);
}

TEST_CASE("written files are the same on every run", "[unit]") {
    const TempFolder folder;
    write_text(folder.file("plan.toml"), plan_text(every_kind()));
    for (const std::string out : {"a", "b"})
        REQUIRE(run_rehearse(folder.file("plan.toml") + " --for 3s --fault 1:loss --write " +
                             folder.file(out))
                    .status == 0);
    CHECK(run_command("diff -r " + folder.file("a") + " " + folder.file("b")).status == 0);
    CHECK(run_command("ls " + folder.file("a")).output == "1.ts\n2.ts\n3.ts\n4.ts\n5.ts\n");
}

TEST_CASE("the summary keeps to its JSON Schema", "[outside]") {
    const TempFolder folder;
    write_text(folder.file("plan.toml"), plan_text(every_kind()));
    REQUIRE(run_rehearse(folder.file("plan.toml") + " --for 2s --fault 1:loss --write " +
                         folder.file("out") + " --json " + folder.file("summary.json"))
                .status == 0);
    const auto checked = run_command(
        "/usr/bin/python3 -c 'import json, jsonschema, sys; "
        "jsonschema.validate(json.load(open(sys.argv[1])), "
        "json.load(open(sys.argv[2])))' " +
        folder.file("summary.json") +
        " " MASTLINE_SOURCE_DIR "/tools/rehearse/report/rehearsal.schema.json 2>&1");
    CHECK(checked.output == "");
    CHECK(checked.status == 0);
}
