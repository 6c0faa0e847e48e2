// SPDX-License-Identifier: Apache-2.0
// The program in the lab's private namespaces: from the head-end through a snooping bridge to a
// display. A machine that permits no namespaces fails these.
#include <catch2/catch.hpp>

#include <nlohmann/json.hpp>

#include "plan_builder.hpp"

using namespace mastline;
using namespace mastline::test;

namespace {

const std::string kLab = MASTLINE_SOURCE_DIR "/tools/lab run bash -c ";
const std::string kReceive = MASTLINE_SOURCE_DIR "/tests/rehearse/receive.py";

// Three flows from two planned sources, one in RTP and one of IPv6.
std::vector<Expectation> three_flows() {
    Expectation first = television(), second = radio(), third = television();
    first.rate = megabits_per_second(3);
    first.source = second.source = *parse_ip_address("10.20.0.11");
    second.encapsulation = Encapsulation::rtp;
    second.dscp = 0;
    third.channel = "103";
    third.rate = megabits_per_second(2);
    third.flow.group = *Group::of(*parse_ip_address("ff15::db8:103"));
    third.source = *parse_ip_address("fd20::12");
    third.ttl = 5;
    return {first, second, third};
}

struct LiveRun {
    nlohmann::json seen;        // by receive.py, on the display
    nlohmann::json summary;     // by the program
    std::string other_display;  // packets that reached the display that joined nothing
};

// The bridge serves a group once the display's report has reached it.
std::string wait_for_joins(const std::vector<Expectation>& flows) {
    std::string out;
    for (const auto& flow : flows)
        out += "for i in $(seq 100); do lab_switch bridge mdb show dev br0 | grep -q 'grp " +
               to_text(flow.flow.group) + " ' && break; sleep 0.1; done\n";
    return out;
}

LiveRun run(const std::vector<Expectation>& flows, const std::string& options,
            const std::string& prepare = "true") {
    const TempFolder folder;
    const std::string plan = folder.file("plan.toml");
    write_text(plan, plan_text(flows));
    std::string groups;
    for (const auto& flow : flows) groups += " " + to_text(flow.flow);
    write_text(folder.file("script"),
               "set -e\nlab_sources " + plan + "\n" + prepare + "\nlab_display python3 " +
                   kReceive + " display0" + groups + " >" + folder.file("seen") + " &\n" +
                   wait_for_joins(flows) + "lab_head " + rehearse_program() + " " + plan +
                   " --interface head0 --json " + folder.file("summary") + " " + options + " >" +
                   folder.file("text") + "\nwait\n" +
                   "lab_display2 cat /sys/class/net/display0/statistics/rx_packets\n");
    const auto result = run_command(kLab + "'. " + folder.file("script") + "' 2>&1");
    INFO(result.output);
    REQUIRE(result.status == 0);
    const auto last = result.output.substr(result.output.rfind('\n', result.output.size() - 2) + 1);
    return {nlohmann::json::parse(read_text(folder.file("seen"))),
            nlohmann::json::parse(read_text(folder.file("summary"))), last};
}

}  // namespace

TEST_CASE("every datagram that leaves arrives where the group was joined, as planned", "[live]") {
    const auto flows = three_flows();
    const LiveRun live = run(flows, "--for 3s");
    for (std::size_t i = 0; i < flows.size(); ++i) {
        const Expectation& flow = flows[i];
        const auto& seen = live.seen[to_text(flow.flow)];
        const auto planned = 3 * flow.rate.bits_per_second() / (7 * 1504);
        INFO("channel " << flow.channel);
        CHECK(live.summary["channels"][i]["datagrams"].get<double>() == Approx(planned).margin(2));
        CHECK(seen["datagrams"] == live.summary["channels"][i]["datagrams"]);
        CHECK(seen["sizes"] ==
              nlohmann::json::array({flow.encapsulation == Encapsulation::rtp ? 1328 : 1316}));
        CHECK(seen["ttl"] == nlohmann::json::array({flow.ttl}));
        CHECK(seen["dscp"] == nlohmann::json::array({flow.dscp}));
        CHECK(seen["sources"].size() == 1);
        CHECK(seen["sources"].contains(to_text(*flow.source)));
    }
    CHECK(live.summary["send_errors"] == 0);
    CHECK(std::stoi(live.other_display) < 200);  // of about 1600: queries and neighbours, no stream
}

TEST_CASE("a missing stream and a second source are what a display sees", "[live]") {
    auto flows = three_flows();
    flows.pop_back();
    const LiveRun live = run(flows, "--for 3s --fault 102:missing --fault 101:second-source@1s",
                             "lab_head ip addr add 10.20.0.99/32 dev head0");
    CHECK(live.seen[to_text(flows[1].flow)]["datagrams"] == 0);
    const auto& sources = live.seen[to_text(flows[0].flow)]["sources"];
    CHECK(sources.size() == 2);
    CHECK(sources["10.20.0.11"].get<int>() == Approx(855).margin(3));
    const auto second = live.summary["channels"][0]["second_source_datagrams"].get<int>();
    CHECK(second == Approx(570).margin(3));
    for (const auto& [address, count] : sources.items())
        if (address != "10.20.0.11") CHECK(count == second);
}

TEST_CASE("Ctrl-C ends a rehearsal with its summary", "[live]") {
    const TempFolder folder;
    write_text(folder.file("plan.toml"), plan_text({radio()}));
    const auto result =
        run_command(kLab + "'lab_head timeout --preserve-status -s INT 1 " + rehearse_program() +
                    " " + folder.file("plan.toml") + " --interface head0' 2>&1");
    CHECK(result.status == 0);
    CHECK(result.output.find("sending 1 streams on head0") != std::string::npos);
    CHECK(result.output.find(" datagrams in 1.") != std::string::npos);
}

TEST_CASE("loopback carries a rehearsal once", "[live]") {
    const TempFolder folder;
    auto flow = radio();
    write_text(folder.file("plan.toml"), plan_text({flow}));
    const auto result =
        run_command(kLab + "'lab_head python3 " + kReceive + " lo " + to_text(flow.flow) +
                    " & for i in $(seq 100); do lab_head cat /proc/net/igmp | grep -q 0201C0EF && "
                    "break; sleep 0.1; done; lab_head " +
                    rehearse_program() + " " + folder.file("plan.toml") +
                    " --interface lo --for 2s >/dev/null 2>&1; wait'");
    REQUIRE(result.status == 0);
    const auto seen = nlohmann::json::parse(result.output)[to_text(flow.flow)];
    CHECK(seen["datagrams"].get<int>() ==
          Approx(95).margin(1));  // 1 Mbit in datagrams of 10,528 bit
}

TEST_CASE("nothing is sent on an interface behind which a real network may stand", "[live]") {
    const TempFolder folder;
    write_text(folder.file("plan.toml"), plan_text({radio()}));
    const std::string start =
        rehearse_program() + " " + folder.file("plan.toml") + " --for 1s --interface ";
    const auto bridge = run_command(kLab + "'lab_switch " + start + "br0' 2>&1");
    CHECK(bridge.status == 3);
    CHECK(bridge.output.find(
              "interface br0 is neither loopback nor one end of a veth pair (its driver is "
              "'bridge'), so a real network may stand behind it") != std::string::npos);
    CHECK(run_command(kLab + "'lab_switch " + start + "br0 --allow-real-interface' 2>&1").status ==
          0);
    const auto none = run_command(kLab + "'lab_head " + start + "nix0' 2>&1");
    CHECK(none.status == 3);
    CHECK(none.output.find("there is no network interface 'nix0'; ") != std::string::npos);
}

TEST_CASE("a planned source that the interface does not have is named with its cure", "[live]") {
    const TempFolder folder;
    write_text(folder.file("plan.toml"), plan_text(three_flows()));
    const auto result = run_command(kLab + "'lab_head " + rehearse_program() + " " +
                                    folder.file("plan.toml") + " --for 1s --interface head0' 2>&1");
    CHECK(result.status == 3);
    CHECK(result.output.find(
              "the plan sends from 10.20.0.11, which head0 does not have; ip address add "
              "10.20.0.11/32 dev head0") != std::string::npos);
    CHECK(result.output.find("ip address add fd20::12/128 dev head0") != std::string::npos);
}

TEST_CASE("the lab leaves nothing behind and hands on the exit status", "[live]") {
    CHECK(run_command(kLab + "'exit 7'").status == 7);
    CHECK(run_command(MASTLINE_SOURCE_DIR "/tools/lab 2>/dev/null").status == 2);
    CHECK(run_command("ip netns list | grep -c '^head$'").output == "0\n");
}
