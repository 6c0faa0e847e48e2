// SPDX-License-Identifier: Apache-2.0
// What is observed does not depend on how many threads look.
#include <catch2/catch.hpp>

#include "mastline/flow/flow_set.hpp"
#include "mastline/net/udp_headers.hpp"
#include "mastline/source/pcap_writer.hpp"
#include "support/paths.hpp"
#include "support/run_command.hpp"
#include "support/temp_folder.hpp"
#include "support/ts_builder.hpp"

using namespace mastline;
using namespace mastline::test;

namespace {

Bytes programme(unsigned number) {
    StreamBuilder s;
    for (unsigned turn = 0; turn < 12; ++turn) {
        s.section(0, pat_section(number, {{number, 0x100}}));
        s.section(0x100, pmt_section(number, 0x101, {{2, 0x101, {}}}));
        s.pes(packet(0x101).pcr(27'000 * turn), pes_packet(0xE0, 90'000 + 3600 * turn, {}, bytes_of("picture")));
        s.nulls(4);
    }
    return s.bytes();
}

IpAddress group_of(std::uint32_t n) {
    if (n % 5 != 4) return IpAddress::v4(0xEFC00000 + n);
    std::array<std::uint8_t, 16> bytes{0xFF, 0x15};
    bytes[15] = static_cast<std::uint8_t>(n);
    return IpAddress::v6(bytes);
}

// Many flows in turn, RTP and bare, two ports on some groups; some datagrams are lost, late or repeated.
class ManyFlows {
public:
    explicit ManyFlows(std::uint32_t flows) {
        for (std::uint32_t n = 0; n < flows; ++n) streams_.push_back(programme(n + 1));
        for (std::size_t at = 0; at + 1316 <= streams_.front().size(); at += 1316)
            for (std::uint32_t n = 0; n < flows; ++n) send(n, at / 1316);
    }

    template <class Take>
    void each(Take&& take) const {
        for (const auto& [datagram, bytes] : sent_) {
            Datagram d = datagram;
            d.payload = bytes;
            take(d);
        }
    }

private:
    void send(std::uint32_t flow, std::size_t index) {
        const std::size_t dice = index * 13 + flow * 7;
        if (dice % 29 == 0) return;
        Bytes payload;
        if (flow % 2 == 0) {
            append(payload, bytes_of({0x80, 33}));
            append_u16(payload, static_cast<unsigned>(65'530 + index) & 0xFFFF);
            payload.resize(12);
        }
        const auto part = ByteView(streams_[flow]).subspan(index * 1316, 1316);
        payload.insert(payload.end(), part.begin(), part.end());
        Datagram d;
        d.source = group_of(flow).is_v4() ? IpAddress::v4(0x0A630001) : IpAddress::v6({0xFD, 0x99});
        d.source_port = {5000};
        d.destination = group_of(flow);
        d.port = {static_cast<std::uint16_t>(flow % 7 == 0 ? 6000 : 5004)};
        d.arrival = std::chrono::seconds(1'700'000'000) + std::chrono::microseconds(40 * sent_.size());
        d.ttl = 16;
        d.dscp = 34;
        sent_.emplace_back(d, payload);
        if (dice % 31 == 0) sent_.emplace_back(d, payload);
        if (dice % 37 == 0 && sent_.size() > 200) std::swap(sent_.back(), sent_[sent_.size() - 45]);
    }

    std::vector<Bytes> streams_;
    std::vector<std::pair<Datagram, Bytes>> sent_;
};

}  // namespace

TEST_CASE("observations of 60 flows are the same for one, two, three and eight threads", "[unit]") {
    const ManyFlows flows(60);
    const auto seen_by = [&](unsigned threads) {
        FlowSet set(threads);
        set.expect({group_of(7), {5004}}, {});
        flows.each([&](const Datagram& d) { set.datagram(d); });
        set.own_loss({group_of(2), {5004}}, 3);
        return set.observe();
    };
    const auto alone = seen_by(1);
    REQUIRE(alone.size() == 61);  // and one that nothing came for
    CHECK(alone[0].stream->packets > 0);
    CHECK(std::ranges::count_if(alone, [](const auto& f) { return f.rtp && f.rtp->lost > 0; }) >= 10);
    for (const unsigned threads : {2U, 3U, 8U}) CHECK(seen_by(threads) == alone);
}

TEST_CASE("the JSON of a capture is the same to the byte for one, two and four threads", "[unit]") {
    std::vector<KeptPacket> packets;
    ManyFlows(40).each([&](const Datagram& d) {
        const UdpHeaders headers(d);
        Bytes bytes(headers.bytes().begin(), headers.bytes().end());
        bytes.insert(bytes.end(), d.payload.begin(), d.payload.end());
        packets.push_back({d.arrival, bytes.size(), std::move(bytes)});
    });
    const TempFolder folder;
    write_text(folder.file("many.pcap"), pcap_of(packets));
    const auto json = [&](const std::string& more) {
        return run_command(MASTLINE_BINARY_DIR "/probe/mastline-probe read " + folder.file("many.pcap") + " --json - " + more).output;
    };
    const std::string alone = json("--threads 1");
    REQUIRE(alone.size() > 100'000);
    CHECK(json("--threads 2") == alone);
    CHECK(json("--threads 4") == alone);
    CHECK(json("") == alone);
}
