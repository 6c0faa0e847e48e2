// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "mastline/expectation/read_plan_file.hpp"

using namespace mastline;

namespace {

const std::string kFlow = R"(
[[flow]]
channel = "5.1"
name = "Harbour News"
group = "239.192.5.1"
port = 5004
source = "10.20.0.11"
encapsulation = "rtp"
packets_per_datagram = 7
rate = "8 Mbit/s"
rate_low = "7.6 Mbit/s"
rate_high = "8.4 Mbit/s"
ttl = 16
dscp = 24
transport_stream_id = 1
program_number = 501
service_name = "Harbour News"
pmt_pid = 256
pcr_pid = 257
component = [{pid = 257, kind = "h264"}, {pid = 258, kind = "aac", language = "eng"}]
parts = ["lane:west/1", "card:A1"]
)";
const std::string kHead = "schema = \"mastline-plan 1\"\nvenue = \"Test\"\nrevision = \"abc\"\n";

std::vector<std::string> faults(const std::string& text) {
    Findings findings;
    CHECK_FALSE(read_plan_file(text, "plan.toml", findings));
    std::vector<std::string> lines;
    for (const auto& f : findings) lines.push_back(to_line(f));
    return lines;
}

std::string changed(std::string text, const std::string& from, const std::string& to) {
    const auto at = text.find(from);
    REQUIRE(at != std::string::npos);
    return text.replace(at, from.size(), to);
}

}  // namespace

TEST_CASE("a plan's flow becomes an expectation, value by value", "[unit]") {
    Findings findings;
    const auto lineup = read_plan_file(kHead + kFlow, "plan.toml", findings);
    REQUIRE(lineup);
    REQUIRE(lineup->flows.size() == 1);
    const auto& flow = lineup->flows[0];
    CHECK(lineup->venue == "Test");
    CHECK(flow.channel == "5.1");
    CHECK(to_text(flow.flow) == "239.192.5.1:5004");
    CHECK(flow.source == *parse_ip_address("10.20.0.11"));
    CHECK(flow.encapsulation == Encapsulation::rtp);
    CHECK(flow.rate == BitRate(8'000'000));
    CHECK(flow.program_number.value == 501);
    REQUIRE(flow.components.size() == 2);
    CHECK(flow.components[1].pid == Pid(258));
    CHECK(flow.components[1].language == "eng");
    CHECK(flow.parts == std::vector<std::string>{"lane:west/1", "card:A1"});
}

TEST_CASE("what the planner alone knows is passed over", "[unit]") {
    Findings findings;
    CHECK(read_plan_file(kHead + kFlow + "\n[planner.levels]\nx = 1\n", "plan.toml", findings));
    CHECK(findings.empty());
}

TEST_CASE("a plan of another schema is refused by name", "[input]") {
    CHECK(faults(changed(kHead, "plan 1", "plan 9")) ==
          std::vector<std::string>{"plan.toml:1:10: error: plan.unknown-schema: the schema is "
                                   "\"mastline-plan 9\"; this program reads \"mastline-plan 1\""});
}

TEST_CASE("every fault of a plan is reported with its place", "[input]") {
    auto text = changed(kHead + kFlow, "port = 5004", "port = 70000");
    text = changed(text, "\"rtp\"", "\"rpt\"");
    text = changed(text, "\"8 Mbit/s\"", "\"8\"");
    text = changed(text, "kind = \"aac\"", "kind = \"acc\"");
    const auto lines = faults(text);
    REQUIRE(lines.size() == 4);
    CHECK(lines[0].starts_with("plan.toml:9:8: error: file.out-of-range: 'port' is 70000"));
    CHECK(lines[1].starts_with("plan.toml:11:17: error: file.unknown-word: unknown encapsulation 'rpt'"));
    CHECK(lines[2].starts_with("plan.toml:13:8: error: file.bad-quantity: 'rate': \"8\" has no unit"));
    CHECK(lines[3].find("unknown stream kind 'acc'; did you mean 'aac'?") != std::string::npos);
}
