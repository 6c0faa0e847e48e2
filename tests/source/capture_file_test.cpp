// SPDX-License-Identifier: Apache-2.0
// Captures made by scapy (make_captures.py), which also says what is in them; libpcap as a second
// opinion on the frames.
#include "mastline/source/capture_file.hpp"

#include <pcap/pcap.h>
#include <zstd.h>

#include "mastline/flow/flow_recorder.hpp"
#include "mastline/source/pcap_writer.hpp"
#include "source/captured.hpp"
#include "support/paths.hpp"
#include "support/run_command.hpp"
#include "support/temp_folder.hpp"

using namespace mastline;
using namespace mastline::test;

namespace {

// The folder of captures, made once per run of the tests.
const TempFolder& captures() {
    static const TempFolder folder;
    static const auto made = run_command("/usr/bin/python3 " MASTLINE_SOURCE_DIR
                                         "/tests/source/make_captures.py " +
                                         folder.path().string() + " 2>&1");
    INFO(made.output);
    REQUIRE(made.status == 0);
    return folder;
}

nlohmann::json truth_of(const std::string& name) {
    return nlohmann::json::parse(read_text(captures().file(name + ".json")));
}

// Every datagram of the capture against the truth beside it.
Captured check_against_truth(const std::string& file) {
    INFO(file);
    const std::string name = file.substr(0, file.find('.'));
    auto read = read_all(captures().file(file));
    const auto expected = truth_of(name);
    CHECK(read.seen.datagrams.size() == expected.size());
    CHECK((read.seen.datagrams == expected));  // too long to print
    return read;
}

struct OracleFrame {
    std::int64_t arrival_ns;
    std::size_t length;  // on the wire
    int link;
    std::string bytes;
    bool operator==(const OracleFrame&) const = default;
};

std::vector<OracleFrame> frames_by_libpcap(const std::string& path) {
    char error[PCAP_ERRBUF_SIZE] = {};
    pcap_t* file =
        pcap_open_offline_with_tstamp_precision(path.c_str(), PCAP_TSTAMP_PRECISION_NANO, error);
    INFO(error);
    REQUIRE(file != nullptr);
    std::vector<OracleFrame> out;
    pcap_pkthdr* header = nullptr;
    const unsigned char* data = nullptr;
    const int link = pcap_datalink(file);
    while (pcap_next_ex(file, &header, &data) == 1) {
        std::string bytes;
        for (unsigned i = 0; i < header->caplen; ++i) bytes += static_cast<char>(data[i]);
        out.push_back({header->ts.tv_sec * 1'000'000'000LL + header->ts.tv_usec, header->len, link, bytes});
    }
    pcap_close(file);
    return out;
}

// libpcap's own number where it differs from that of files.
int dlt_of(LinkType link) { return link == kLinkRaw ? DLT_RAW : static_cast<int>(link.value); }

std::vector<OracleFrame> frames_by_us(const std::string& path) {
    const auto input = open_input(path);
    BlockReader reader(*input);
    std::vector<OracleFrame> out;
    read_capture(reader, [&](const CapturedFrame& f) {
        std::string bytes;
        for (const std::byte b : f.bytes) bytes += static_cast<char>(b);
        out.push_back({f.arrival.count(), f.on_wire({}).length, dlt_of(f.link), bytes});
    });
    return out;
}

}  // namespace

TEST_CASE("pcap of either byte order and resolution holds what scapy put in", "[outside]") {
    for (const auto* file : {"ethernet-us.pcap", "modified.pcap", "ethernet-ns.pcap", "ethernet-big-endian-us.pcap",
                             "ethernet-big-endian-ns.pcap"}) {
        const auto read = check_against_truth(file);
        CHECK(read.summary.damage.empty());
        CHECK(read.counts.datagrams == 5);
        CHECK(read.seen.stamped == 5);
    }
}

TEST_CASE("VLAN tags of every kind are told, and SNAP is passed over", "[outside]") {
    for (const auto* file : {"vlan.pcap", "double-vlan-8100.pcap", "qinq-88a8.pcap", "snap.pcap"})
        check_against_truth(file);
}

TEST_CASE("labels of MPLS and sessions of PPPoE are looked through", "[outside]") {
    for (const auto* file : {"mpls.pcap", "pppoe.pcap"}) check_against_truth(file);
    // A stack without its end, or without what it labels; another payload; PPP's own talk; discovery; cut short.
    CHECK(check_against_truth("mpls-not-for-us.pcap").counts.other == 4);
    CHECK(check_against_truth("pppoe-not-for-us.pcap").counts.other == 3);
}

TEST_CASE("Linux cooked, raw IP and loopback captures are read", "[outside]") {
    for (const auto* file :
         {"cooked-v1.pcap", "cooked-v1-vlan.pcap", "cooked-v2.pcap", "cooked-v2-ipv6.pcap",
          "raw-101.pcap", "raw-12.pcap", "raw-ipv4-228.pcap", "raw-ipv6-229.pcap",
          "null-little.pcap", "null-big.pcap", "loop.pcap"})
        check_against_truth(file);
}

TEST_CASE("IPv4 options and IPv6 extension headers are passed over", "[outside]") {
    for (const auto* file : {"ipv4-options.pcap", "ipv6.pcap", "ipv6-extensions.pcap"})
        check_against_truth(file);
}

TEST_CASE("Ethernet padding does not become payload", "[outside]") {
    check_against_truth("short-padded.pcap");
}

TEST_CASE("fragments in any order, repeated or interleaved, become their datagram", "[outside]") {
    const auto read = check_against_truth("ipv4-fragments.pcap");
    CHECK(read.counts.reassembled == 4);
    CHECK(read.counts.datagrams == 0);
    CHECK(check_against_truth("ipv6-fragments.pcap").counts.reassembled == 1);
    CHECK(check_against_truth("ipv6-fragments-with-options.pcap").counts.reassembled == 1);
}

TEST_CASE("a capture cut by its snap length gives the part that is there, marked", "[outside]") {
    const auto read = check_against_truth("snapped.pcap");
    CHECK(read.seen.truncated == 1);
    CHECK(read.counts.truncated == 1);
    CHECK(read.summary.damage.empty());
}

TEST_CASE("a capture that ends inside a record gives all before it and says where it ends",
          "[outside]") {
    const auto read = check_against_truth("cut-short.pcap");
    CHECK(read.summary.damage == "the last record is cut short (byte 5520)");
    CHECK(read.summary.frames == 4);
}

TEST_CASE("pcapng sections, interfaces and time resolutions are kept apart", "[outside]") {
    for (const auto* file : {"blocks-little.pcapng", "blocks-big.pcapng", "by-scapy.pcapng"}) {
        const auto read = check_against_truth(file);
        CHECK(read.summary.damage.empty());
    }
    const auto both = check_against_truth("two-sections.pcapng");
    CHECK(both.summary.frames == 12);
    // Statistics count from the start of the capture: 5 and 2 in each section, not 3 + 5 + 2.
    CHECK(both.summary.dropped_by_capture == 14);
}

TEST_CASE("simple packets have no time and honour the snap length", "[outside]") {
    const auto read = check_against_truth("simple-packets.pcapng");
    CHECK(read.seen.stamped == 0);
    CHECK(read.seen.truncated == 1);
}

TEST_CASE("gzip and Zstandard captures read like the plain file", "[outside]") {
    check_against_truth("packed-gz.pcap");
    const std::string plain = read_text(captures().file("ethernet-ns.pcap"));
    std::string packed(ZSTD_compressBound(plain.size()), '\0');
    const auto size = ZSTD_compress(packed.data(), packed.size(), plain.data(), plain.size(), 3);
    REQUIRE(ZSTD_isError(size) == 0);
    packed.resize(size);
    const TempFolder folder;
    write_text(folder.file("whole.zst"), packed);
    CHECK((read_all(folder.file("whole.zst")).seen.datagrams == truth_of("ethernet-ns")));
    // RFC 8878, 3.1.2: frames that a decoder skips, here in front, between two frames and behind.
    const std::string skippable("\x5C\x2A\x4D\x18\x03\0\0\0abc", 11);
    std::string second(ZSTD_compressBound(plain.size()), '\0');
    std::string first = second;
    const std::size_t half = plain.size() / 2;
    first.resize(ZSTD_compress(first.data(), first.size(), plain.data(), half, 3));
    second.resize(ZSTD_compress(second.data(), second.size(), plain.data() + half, plain.size() - half, 3));
    write_text(folder.file("skip.zst"), skippable + first + skippable + second + skippable);
    CHECK((read_all(folder.file("skip.zst")).seen.datagrams == truth_of("ethernet-ns")));
    CHECK(read_all(folder.file("skip.zst")).summary.damage.empty());
    write_text(folder.file("cut.zst"), packed.substr(0, packed.size() - 6));
    CHECK(read_all(folder.file("cut.zst")).summary.damage == "the Zstandard data ends early");
    const std::string gz = read_text(captures().file("packed-gz.pcap"));
    write_text(folder.file("cut.gz"), gz.substr(0, gz.size() - 12));
    CHECK(read_all(folder.file("cut.gz")).summary.damage == "the gzip data ends early");
}

TEST_CASE("what is no UDP is counted by what it is", "[outside]") {
    const auto read = check_against_truth("not-for-us.pcap");
    CHECK(read.counts.frames == 4);
    CHECK(read.counts.membership == 1);
    CHECK(read.seen.membership == 1);
    CHECK(read.counts.malformed == 1);  // an IPv4 header of two bytes
    CHECK(read.counts.other == 2);      // ARP and TCP
}

TEST_CASE("libpcap reads the same frames at the same times", "[outside]") {
    for (const auto* file : {"ethernet-us.pcap", "modified.pcap", "ethernet-ns.pcap", "ethernet-big-endian-us.pcap",
                             "cooked-v2.pcap", "null-little.pcap", "snapped.pcap", "cut-short.pcap",
                             "ipv4-fragments.pcap", "by-scapy.pcapng"}) {
        INFO(file);
        const auto path = captures().file(file);
        const auto expected = frames_by_libpcap(path);
        CHECK(expected.size() > 0);
        CHECK((frames_by_us(path) == expected));
    }
}

TEST_CASE("what is kept of a flow are the frames as they came, tags, addresses and trailers included", "[outside]") {
    const TempFolder folder;
    struct Keeper final : PacketSink {
        FlowRecorder recorder{1024 * 1024};
        void on_datagram(const Datagram& d) override { recorder.add(d); }
    };
    const auto keep = [&](const std::string& file) {
        Keeper keeper;
        FrameDecoder decoder(keeper);
        const auto input = open_input(captures().file(file));
        BlockReader reader(*input);
        read_capture(reader, [&](const CapturedFrame& f) { decoder.add(f); });
        const auto kept = keeper.recorder.take();
        CHECK_FALSE(kept.rebuilt);
        const auto path = folder.file("kept" + std::string(capture_ending(kept.packets)));
        write_text(path, capture_of(kept.packets));
        return path;
    };
    for (const auto* file : {"ethernet-ns.pcap", "vlan.pcap", "double-vlan-8100.pcap", "qinq-88a8.pcap", "cooked-v1-vlan.pcap",
                             "cooked-v2.pcap", "short-padded.pcap", "snapped.pcap", "raw-101.pcap", "ipv6-extensions.pcap"}) {
        INFO(file);
        const auto expected = frames_by_libpcap(captures().file(file));
        REQUIRE_FALSE(expected.empty());
        CHECK((frames_by_libpcap(keep(file)) == expected));
    }
    // Ethernet and bare IP side by side: a file with two interfaces, which libpcap does not read.
    const auto mixed = keep("blocks-little.pcapng");
    CHECK(mixed.ends_with("kept.pcapng"));
    CHECK((read_all(mixed).seen.datagrams == truth_of("blocks-little")));
    const auto shown = run_command("tshark -r " + mixed + " -T fields -e frame.encap_type -e eth.src -e ip.dst 2>/dev/null");
    const std::string ethernet = "1\t02:00:00:00:00:01\t239.192.10.20\n", bare = "7\t\t239.192.10.20\n";
    CHECK(shown.output == ethernet + bare + ethernet + ethernet + ethernet + ethernet);
}

TEST_CASE("a flow tells the VLANs that it was seen in, and says nothing where none can be seen", "[outside]") {
    const auto tags = [](const std::string& file) {
        const TempFolder folder;
        const auto result = run_command(MASTLINE_BINARY_DIR "/probe/mastline-probe read " + captures().file(file) + " --json " +
                                        folder.file("read.json"));
        INFO(result.output);
        const auto valid = run_command("/usr/bin/python3 " MASTLINE_SOURCE_DIR "/tests/report/check_schema.py " +
                                       folder.file("read.json") + " " MASTLINE_SOURCE_DIR "/probe/report/reading.schema.json 2>&1");
        INFO(valid.output);
        CHECK(valid.status == 0);
        return nlohmann::json::parse(read_text(folder.file("read.json")))["files"][0]["capture"]["flows"][0]["vlans"].dump();
    };
    CHECK(tags("vlan.pcap") == R"([{"datagrams":3,"ids":[30]}])");
    CHECK(tags("qinq-88a8.pcap") == R"([{"datagrams":3,"ids":[30,40]}])");
    CHECK(tags("cooked-v1-vlan.pcap") == R"([{"datagrams":3,"ids":[7]}])");
    CHECK(tags("ethernet-ns.pcap") == R"([{"datagrams":5,"ids":[]}])");
    CHECK(tags("raw-101.pcap") == "[]");
}

TEST_CASE("an impossible record length stops the reading with its place", "[input]") {
    const TempFolder folder;
    std::string damaged = read_text(captures().file("ethernet-ns.pcap"));
    damaged[24 + 8 + 3] = '\x7f';  // captured length of the first record
    write_text(folder.file("damaged.pcap"), damaged);
    const auto read = read_all(folder.file("damaged.pcap"));
    CHECK(read.summary.damage == "a record claims an impossible length (byte 24)");
    CHECK(read.summary.frames == 0);
}

TEST_CASE("a pcapng packet of an interface never described stops the reading", "[input]") {
    const TempFolder folder;
    std::string damaged = read_text(captures().file("by-scapy.pcapng"));
    const auto at = damaged.find(std::string("\x06\0\0\0", 4));
    REQUIRE(at != std::string::npos);
    damaged[at + 8] = '\x09';
    write_text(folder.file("damaged.pcapng"), damaged);
    const auto read = read_all(folder.file("damaged.pcapng"));
    CHECK(read.summary.damage.find("a packet names an interface that was never described") == 0);
}
