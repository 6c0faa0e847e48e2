// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "mastline/flow/flow_recorder.hpp"
#include "mastline/net/udp_headers.hpp"
#include "mastline/source/frame_decoder.hpp"
#include "mastline/source/pcap_writer.hpp"
#include "support/run_command.hpp"
#include "support/temp_folder.hpp"

using namespace mastline;
using namespace mastline::test;

namespace flow_recorder_test {

namespace {

Datagram datagram(const std::vector<std::byte>& payload, int number, bool v6 = false) {
    Datagram out;
    out.payload = payload;
    out.arrival = std::chrono::seconds(1'700'000'000) + Duration(1'000'001 * number);
    out.source = *parse_ip_address(v6 ? "fd99::1" : "10.99.0.1");
    out.destination = *parse_ip_address(v6 ? "ff15::db8:1" : "239.192.10.1");
    out.source_port = {40'000};
    out.port = {5004};
    out.ttl = 8;
    out.dscp = 24;
    return out;
}

std::vector<std::byte> numbered(int number, std::size_t size = 1328) {
    return std::vector<std::byte>(size, static_cast<std::byte>(number));
}

FlowFaults losses(std::uint64_t count) {
    FlowFaults out;
    out[FlowFault::loss] = count;
    return out;
}

struct Kept final : PacketSink {
    std::vector<Datagram> all;
    void on_datagram(const Datagram& d) override { all.push_back(d); }
};

}  // namespace

TEST_CASE("a recorder keeps what came before and after the first fault, within its memory", "[unit]") {
    constexpr std::size_t bytes = 64 * 1024;
    FlowRecorder recorder(bytes);
    std::vector<std::vector<std::byte>> payloads;
    for (int i = 0; i < 400; ++i) payloads.push_back(numbered(i % 256));
    for (int i = 0; i < 400; ++i) {
        recorder.add(datagram(payloads[static_cast<std::size_t>(i)], i));
        recorder.met(losses(i < 200 ? 0 : i < 300 ? 1 : 2));
    }
    const auto kept = recorder.take();
    REQUIRE(kept.fault_packet);
    CHECK(kept.fault == FlowFault::loss);
    CHECK(kept.rebuilt);
    CHECK(recorder.full());
    // The 200th packet, counted from 0, is the fault; its payload is made of that number.
    CHECK(kept.packets[*kept.fault_packet].bytes.back() == std::byte{200});
    const std::size_t half = bytes / 2 / (1328 + 28 + PacketRing::kOverhead);
    CHECK(*kept.fault_packet == half - 1);
    CHECK(kept.packets.size() == bytes / (1328 + 28 + PacketRing::kOverhead));
    for (std::size_t i = 1; i < kept.packets.size(); ++i)
        CHECK(kept.packets[i].arrival - kept.packets[i - 1].arrival == Duration(1'000'001));
}

TEST_CASE("without a fault a recorder holds the last packets", "[unit]") {
    FlowRecorder recorder(16 * 1024);
    for (int i = 0; i < 100; ++i) {
        const auto payload = numbered(i);
        recorder.add(datagram(payload, i));
        recorder.met({});
    }
    const auto kept = recorder.take();
    CHECK_FALSE(kept.fault_packet);
    CHECK(kept.packets.back().bytes.back() == std::byte{99});
}

TEST_CASE("headers put together again are those that the decoder and tshark read, checksums right", "[outside]") {
    const TempFolder folder;
    for (const bool v6 : {false, true}) {
        FlowRecorder recorder(64 * 1024);
        const auto even = numbered(0x47, 1316), odd = numbered(0xA5, 189);
        recorder.add(datagram(even, 0, v6));
        recorder.add(datagram(odd, 1, v6));
        const auto kept = recorder.take().packets;
        write_text(folder.file("kept.pcap"), pcap_of(kept));
        const auto shown = run_command("tshark -r " + folder.file("kept.pcap") +
                                       " -o ip.check_checksum:TRUE -o udp.check_checksum:TRUE -T fields -e frame.time_epoch -e ip.dst "
                                       "-e ipv6.dst -e udp.srcport -e udp.dstport -e udp.length -e ip.ttl -e ipv6.hlim "
                                       "-e ip.checksum.status -e udp.checksum.status -e ip.dsfield.dscp -e ipv6.tclass.dscp 2>/dev/null");
        INFO(shown.output);
        CHECK(shown.output == (v6 ? "1700000000.000000000\t\tff15::db8:1\t40000\t5004\t1324\t\t8\t\t1\t\t24\n"
                                    "1700000000.001000001\t\tff15::db8:1\t40000\t5004\t197\t\t8\t\t1\t\t24\n"
                                  : "1700000000.000000000\t239.192.10.1\t\t40000\t5004\t1324\t8\t\t1\t3\t24\t\n"
                                    "1700000000.001000001\t239.192.10.1\t\t40000\t5004\t197\t8\t\t1\t3\t24\t\n"));
        Kept sink;
        FrameDecoder decoder(sink);
        for (const auto& p : kept) decoder.add({p.bytes, p.arrival, true, kLinkRaw});
        REQUIRE(sink.all.size() == 2);
        CHECK(sink.all[0].destination == datagram(even, 0, v6).destination);
        CHECK(sink.all[1].payload.size() == 189);
        CHECK(sink.all[1].ttl == 8);
        CHECK(sink.all[1].dscp == 24);
    }
}

}  // namespace flow_recorder_test
