// SPDX-License-Identifier: Apache-2.0
// What a snooping switch does to memberships, seen from a display.
#include "commands/lab.hpp"

using namespace mastline::test;

namespace network_live_test {

namespace {

const std::string kSend = "lab_head $REHEARSE $PLAN --interface head0 --for \"60 s\" ";
const std::string kProbe = "lab_display $PROBE verify --plan $PLAN --interface display0 ";
const std::string kStop = "kill $! 2>/dev/null; wait\n";

}  // namespace

TEST_CASE("join and leave latency are measured from the messages on the wire, and fast leave shows", "[live]") {
    for (const std::string kind : {"4 2", "4 2 rtp ipv6", "4 2 udp source-specific"}) {
        const Lab lab(kind);
        const auto result = lab.run(
            "sleep 2.5\n" + kSend + "> /dev/null & sleep 1\n" +
            kProbe + "--listen ring --for '3 s' --leave '2 s' --json $DIR/slow.json > /dev/null; echo status $?\n"
            "lab_switch bridge link set dev p-display fastleave on\n" +
            kProbe + "--listen ring --for '3 s' --leave '2 s' --json $DIR/fast.json > /dev/null; echo status $?\n" + kStop);
        INFO(kind << "\n" << result.output);
        CHECK(result.output.find("status 0\nstatus 0\n") != std::string::npos);
        const auto slow = lab.json("slow.json")["latencies"], fast = lab.json("fast.json")["latencies"];
        REQUIRE(slow.size() == 4);
        for (const auto& l : slow) {
            INFO(l.dump());
            CHECK(l["join_report_seen"] == true);
            CHECK(l["leave_seen"] == true);
            CHECK(l["first_datagram_ms"].get<double>() < 1000);
            CHECK(l["first_access_ms"].get<double>() >= l["first_datagram_ms"].get<double>());
            // The lab's bridge asks twice, 0.1 s apart, before it stops a group.
            CHECK(l["last_datagram_ms"].get<double>() > 120);
            CHECK(l["last_datagram_ms"].get<double>() < 1000);
        }
        if (kind.find("rtp ipv6") != std::string::npos) continue;  // fast leave of bridges differs for MLDv2
        for (const auto& l : fast) CHECK((l["last_datagram_ms"].is_null() || l["last_datagram_ms"].get<double>() < 100));
    }
}

TEST_CASE("a switch that goes on after a leave fails every channel", "[live]") {
    const Lab lab("3 2");
    const auto result = lab.run(kSend + "> /dev/null & sleep 1\n"
                                "(sleep 2; lab_switch ip link set br0 type bridge mcast_snooping 0) &\n" + kProbe +
                                "--listen ring --for '3 s' --leave '6 s' --json $DIR/report.json > /dev/null; echo status $?\n"
                                "kill %1; wait\n");
    INFO(result.output);
    CHECK(result.output.find("status 1") != std::string::npos);
    const auto report = lab.json("report.json");
    REQUIRE(report["verdicts"].size() == 3);
    for (const auto& v : report["verdicts"]) CHECK(v["headline"] == "flow.leave");
}

TEST_CASE("a switch that stops a group as late as its queries state is as it says", "[live]") {
    const Lab lab("3 2");
    const auto result = lab.run(kSend + "> /dev/null & sleep 1\n"
                                "lab_switch ip link set br0 type bridge mcast_last_member_interval 200\n" + kProbe +
                                "--listen ring --for '3 s' --leave '6 s' --json $DIR/report.json > /dev/null; echo status $?\n" + kStop);
    INFO(result.output);
    CHECK(result.output.find("status 0") != std::string::npos);
    // Two queries 2 s apart (RFC 3376 section 8.10): later than the 2.5 s of the default timers.
    const auto report = lab.json("report.json");
    REQUIRE(report["latencies"].size() == 3);
    for (const auto& l : report["latencies"]) CHECK(l["last_datagram_ms"].get<double>() > 2500);
}

TEST_CASE("a querier that is lost during the watch is named, and so are two", "[live]") {
    const Lab lab("2 1");
    const auto result = lab.run(kSend + "> /dev/null & sleep 1\n"
                                "(sleep 6; lab_switch ip link set br0 type bridge mcast_querier 0) &\n" + kProbe +
                                "--for '19 s' --json $DIR/lost.json > /dev/null\n"
                                "lab_switch ip link set br0 type bridge mcast_querier 1\n"
                                "ip -n display2 addr add 10.99.1.1/24 dev display0\n"
                                // From a higher address than the bridge's, which therefore goes on asking: IGMPv3 general queries of another router, every 2 s (RFC 3376 section 4.1).
                                "(for i in 1 2 3 4 5 6; do lab_display2 /usr/bin/python3 -c \"\n"
                                "import socket\n"
                                "s = socket.socket(socket.AF_INET, socket.SOCK_RAW, 2)\n"
                                "s.setsockopt(socket.IPPROTO_IP, socket.IP_MULTICAST_IF, socket.inet_aton('10.99.1.1'))\n"
                                "s.setsockopt(socket.IPPROTO_IP, socket.IP_OPTIONS, bytes([0x94, 4, 0, 0]))\n"
                                "body = bytes([0x11, 10, 0, 0, 0, 0, 0, 0, 2, 2, 0, 0])\n"
                                "total = sum(int.from_bytes(body[i:i+2], 'big') for i in range(0, 12, 2))\n"
                                "total = (total & 0xffff) + (total >> 16)\n"
                                "s.sendto(body[:2] + (~total & 0xffff).to_bytes(2, 'big') + body[4:], ('224.0.0.1', 0))\n"
                                "\"; sleep 2; done) &\n" + kProbe + "--for '11 s' --json $DIR/two.json > /dev/null\n"
                                "kill %1; wait\n");
    INFO(result.output);
    const auto lost = lab.json("lost.json")["querier"];
    INFO(lost.dump());
    CHECK(lost["outcome"] == "failed");
    CHECK(lost["evidence"].get<std::string>().find("lost") != std::string::npos);
    const auto two = lab.json("two.json")["querier"];
    INFO(two.dump());
    CHECK(two["outcome"] == "failed");
    for (const std::string address : {"10.99.0.254", "10.99.1.1"})
        CHECK(two["found"].get<std::string>().find(address + " IGMPv3") != std::string::npos);
}

TEST_CASE("a group with the MAC address of a planned one is named when it comes along", "[live]") {
    const Lab lab("2 1");
    // 239.64.10.2 and 239.192.10.2 share 01:00:5e:40:0a:02 (RFC 1112 section 6.4).
    const auto result = lab.run("sed 's/239\\.192\\./239.64./' $PLAN > $DIR/equal.toml\n"
                                "lab_switch ip link set br0 type bridge mcast_snooping 0\n" + kSend + "> /dev/null & sleep 1\n"
                                "lab_head $REHEARSE $DIR/equal.toml --interface head0 --for '20 s' > /dev/null & sleep 1\n" + kProbe +
                                "--listen ring --for '3 s' --json $DIR/report.json --html $DIR/report.html > /dev/null\nkill %1 %2; wait\n");
    INFO(result.output);
    const auto network = lab.json("report.json")["network"];
    REQUIRE(network.size() == 2);
    CHECK(network[0]["id"] == "network.flood");
    CHECK(network[1]["id"] == "network.mac-equal");
    CHECK(network[1]["found"].get<std::string>().find("239.64.10.2 like 239.192.10.2 of channel 101") != std::string::npos);
    CHECK(read_text(lab.file("report.html")).find("network.mac-equal") != std::string::npos);
}

TEST_CASE("once it listens the probe has no capability, whichever way it listens", "[live]") {
    for (const std::string way : {"sockets", "ring"}) {
        const Lab lab("2 1");
        const auto result = lab.run(kSend + "> /dev/null & sleep 1\n"
                                    "ip netns exec display $PROBE verify --plan $PLAN --interface display0 --listen " + way +
                                    " --for '3 s' --json $DIR/report.json > /dev/null & WATCH=$!; sleep 2\n"
                                    "grep -E 'Cap(Inh|Prm|Eff|Bnd|Amb)|NoNewPrivs' /proc/$WATCH/status; wait $WATCH; echo status $?\nkill %1; wait\n");
        INFO(way << "\n" << result.output);
        for (const std::string set : {"CapInh", "CapPrm", "CapEff", "CapBnd", "CapAmb"})
            CHECK(result.output.find(set + ":\t0000000000000000\n") != std::string::npos);
        CHECK(result.output.find("NoNewPrivs:\t1") != std::string::npos);
        CHECK(result.output.find("status 0") != std::string::npos);
        CHECK(lab.json("report.json")["channels_right"] == 2);
    }
}

}  // namespace network_live_test
