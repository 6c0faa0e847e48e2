// SPDX-License-Identifier: Apache-2.0
// One stream heard on two interfaces of one capture is two flows. Captures of scapy and mergecap, which tshark reads too.
#include <nlohmann/json.hpp>
#include <span>

#include "mastline/source/capture_file.hpp"
#include "mastline/source/pcap_writer.hpp"
#include "support/memory_input.hpp"
#include "support/paths.hpp"
#include "support/run_command.hpp"
#include "support/temp_folder.hpp"

using namespace mastline;
using namespace mastline::test;

namespace interfaces_test {

namespace {

const std::string kProbe = MASTLINE_BINARY_DIR "/probe/mastline-probe read ";

// The captures and their truth, made once per run of the tests.
const TempFolder& made() {
    static const TempFolder folder;
    static const auto run = run_command(
        "ffmpeg -v error -f lavfi -i testsrc=size=640x360:rate=25 -f lavfi -i sine -t 4 -c:v mpeg2video -b:v 2M -c:a mp2 "
        "-muxrate 3500k -f mpegts " + folder.file("made.ts") + " 2>&1 && /usr/bin/python3 " MASTLINE_SOURCE_DIR
        "/tests/flow/make_interfaces.py " + folder.path().string() + " " + folder.file("made.ts") + " 2>&1 && mergecap -I none -w " +
        folder.file("merged.pcapng") + " " + folder.file("first.pcap") + " " + folder.file("second.pcap") + " 2>&1");
    INFO(run.output);
    REQUIRE(run.status == 0);
    return folder;
}

nlohmann::json truth() { return nlohmann::json::parse(read_text(made().file("truth.json"))); }

nlohmann::json read_json(const std::string& arguments) {
    return nlohmann::json::parse(run_command(kProbe + arguments + " --json - 2>/dev/null").output);
}

nlohmann::json capture_of(const std::string& file) { return read_json(made().file(file))["files"][0]["capture"]; }

// Two flows, on the first nothing amiss, on the second nothing but what is lost there.
void check_two_flows(const nlohmann::json& capture, const std::string& first, const std::string& second) {
    REQUIRE(capture["flows"].size() == 2);
    CHECK(capture["abandoned_fragmented_packets"] == 0);
    for (std::size_t i = 0; i < 2; ++i) {
        const auto& flow = capture["flows"][i];
        const auto expected = truth()[i];
        INFO(flow.dump(1).substr(0, 3000));
        CHECK(flow["interface"] == (i == 0 ? first : second));
        CHECK(flow["datagrams"] == expected["datagrams"]);
        CHECK(flow["rtp"]["lost"] == expected["lost"]);
        CHECK(flow["rtp"]["duplicates"] == 0);
        CHECK(flow["rtp"]["reordered"] == 0);
        CHECK(flow["stream"]["arrival_rate_bps"].get<double>() == Approx(expected["bits_per_second"].get<double>()).epsilon(0.02));
        if (i == 0) CHECK(flow["stream"]["continuity_errors"] == 0);
        else CHECK(flow["stream"]["continuity_errors"] > 0);
    }
}

}  // namespace

TEST_CASE("one stream on two named interfaces is two flows", "[outside]") {
    const auto names = run_command("tshark -r " + made().file("named.pcapng") + " -T fields -e frame.interface_name 2>/dev/null | sort -u");
    CHECK(names.output == "eth0\neth1\n");
    const auto capture = capture_of("named.pcapng");
    check_two_flows(capture, "eth0", "eth1");
    // RFC 3376 section 8.2: on each link its own querier, every 125 s; the same machine may be that of both.
    REQUIRE(capture["queriers"].size() == 2);
    for (std::size_t i = 0; i < 2; ++i) {
        CHECK(capture["queriers"][i]["interface"] == (i == 0 ? "eth0" : "eth1"));
        CHECK(capture["queriers"][i]["interval_s"] == 125.0);
        CHECK(capture["members"][i]["interface"] == (i == 0 ? "eth0" : "eth1"));
        CHECK(capture["members"][i]["address"] == (i == 0 ? "10.99.0.21" : "10.99.0.22"));
    }
}

TEST_CASE("interfaces without names are numbered, and those that frames of Linux cooked v2 name are kept apart", "[outside]") {
    check_two_flows(capture_of("merged.pcapng"), "interface 0", "interface 1");
    check_two_flows(capture_of("cooked.pcap"), "interface 0, index 2", "interface 0, index 3");
}

// What was put together of fragments has no frame: a file of ours keeps it beside frames, as of the same interface.
TEST_CASE("frames and bare packets of one interface stay together", "[unit]") {
    std::vector<KeptPacket> kept;
    for (const LinkType link : {kLinkEthernet, kLinkRaw}) kept.push_back({Duration(1), 60, std::vector<std::byte>(60), link});
    const auto wires_of = [](const std::string& file) {
        MemoryInput input(std::as_bytes(std::span(file)));
        BlockReader reader(input);
        std::vector<WireNumber> out;
        read_capture(reader, [&](const CapturedFrame& f) { out.push_back(f.wire); });
        return out;
    };
    const std::string file = capture_of(kept);
    CHECK(wires_of(file) == std::vector<WireNumber>{{0}, {0}});
    CHECK(wires_of(file + file) == std::vector<WireNumber>{{0}, {0}, {0}, {0}});
}

TEST_CASE("the flow of a capture of one interface names none", "[outside]") {
    const auto capture = capture_of("first.pcap");
    REQUIRE(capture["flows"].size() == 1);
    CHECK(capture["flows"][0]["interface"].is_null());
}

TEST_CASE("the same with any number of threads, on every interface", "[outside]") {
    const auto one = read_json(made().file("named.pcapng") + " --threads 1");
    CHECK((one == read_json(made().file("named.pcapng") + " --threads 3")));
}

TEST_CASE("a planned channel that is heard on two interfaces is right only if it is so on both", "[outside]") {
    const TempFolder folder;
    const auto plan = run_command("/usr/bin/python3 " MASTLINE_SOURCE_DIR "/tests/commands/make_plan.py 1 3.509 rtp > " + folder.file("plan.toml"));
    REQUIRE(plan.status == 0);
    const std::string by_plan = made().file("named.pcapng") + " --plan " + folder.file("plan.toml") + " --evidence " + folder.file("evidence");
    const auto verification = read_json(by_plan)["verifications"][0];
    const auto& verdict = verification["verdicts"][0];
    INFO(verification.dump(1).substr(0, 6000));
    REQUIRE(verification["verdicts"].size() == 1);
    CHECK(verification["observations"].size() == 2);
    CHECK(verification["unasked"].empty());
    CHECK(verdict["outcome"] == "failed");
    const auto outcome = [&](const std::string& id) {
        for (const auto& c : verdict["checks"])
            if (c["id"] == id) return c["outcome"].get<std::string>();
        return std::string();
    };
    CHECK(outcome("flow.source") == "passed");
    CHECK(outcome("flow.repeats") != "failed");
}

}  // namespace interfaces_test
