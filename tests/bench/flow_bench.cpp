// SPDX-License-Identifier: Apache-2.0
// Speed of reading capture files, against libpcap with the same checks and against bare read(); cost
// and memory of many flows. One line per figure, tab-separated: name, value, unit, goal.
#include <fcntl.h>
#include <pcap/pcap.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <string>

#include "bench.hpp"
#include "mastline/flow/flow_set.hpp"
#include "mastline/source/capture_file.hpp"

using namespace mastline;
using namespace mastline::test;

namespace {

constexpr std::size_t kPayload = 7 * kTsPacketSize;
constexpr std::size_t kHeaders = 14 + 20 + 8;
constexpr unsigned kGroups = 1000;
volatile std::uint64_t sink = 0;  // what is reckoned must not be left out

class Payloads final : public PacketSink {
public:
    void on_datagram(const Datagram& d) override { bytes += d.payload.size(); }
    std::uint64_t bytes = 0;
};

class Flows final : public PacketSink {
public:
    void on_datagram(const Datagram& d) override { flows_.datagram(d); }
    const FlowSet& flows() const { return flows_; }

private:
    FlowSet flows_;
};

void put(Bytes& to, std::uint64_t value, int width) {
    for (int shift = 8 * (width - 1); shift >= 0; shift -= 8) to.push_back(static_cast<std::byte>(value >> shift));
}

// Ethernet, IPv4 (RFC 791) and UDP (RFC 768) before seven packets, to 239.1.x.y:5000.
void put_frame(Bytes& to, unsigned group, ByteView payload) {
    put(to, 0x01005E010000U + group, 6);
    put(to, 0x020000000001U, 6);
    put(to, 0x0800, 2);
    put(to, 0x45000000U + static_cast<unsigned>(28 + payload.size()), 4);
    put(to, 0x00004000U, 4);
    put(to, 0x10110000U, 4);  // TTL 16, UDP, header checksum not set
    put(to, 0x0A630001U, 4);
    put(to, 0xEF010000U + group, 4);
    put(to, (5000U << 16) + 5000U, 4);
    put(to, (8 + payload.size()) << 16, 4);
    to.insert(to.end(), payload.begin(), payload.end());
}

// What a thousand groups carry: each the same stream, datagram by datagram in turn, so many groups at a
// time. The bytes do not depend on how many, their order does.
Bytes capture_of(const Bytes& stream, unsigned groups, unsigned at_a_time, std::size_t bytes) {
    Bytes out;
    put(out, 0xA1B23C4D00020004ULL, 8);
    put(out, 0, 8);
    put(out, 0x0000FFFF00000001ULL, 8);
    std::uint64_t now = 0;
    const std::size_t each = std::min(bytes / groups / (16 + kHeaders + kPayload), stream.size() / kPayload);
    for (unsigned first = 0; first < groups; first += at_a_time)
        for (std::size_t n = 0; n < each; ++n)
            for (unsigned group = first; group < first + at_a_time; ++group, now += 1'316'000 / at_a_time) {
                put(out, now / 1'000'000'000, 4);
                put(out, now % 1'000'000'000, 4);
                put(out, kHeaders + kPayload, 4);
                put(out, kHeaders + kPayload, 4);
                put_frame(out, group, ByteView(stream).subspan(n * kPayload, kPayload));
            }
    return out;
}

void write_file(const std::filesystem::path& path, const Bytes& bytes) {
    std::ofstream out(path, std::ios::binary);
    std::string text(bytes.size(), '\0');
    std::ranges::transform(bytes, text.begin(), [](std::byte b) { return static_cast<char>(b); });
    out << text;
    if (!out) throw std::runtime_error("cannot write " + path.string());
}

std::uint64_t datagrams_in(const FlowSet& flows) {
    std::uint64_t out = 0;
    for (const auto& f : flows.observe()) out += f.stream ? f.datagrams : 0;
    return out;
}

std::uint64_t read_ours(const std::string& path) {
    const auto input = open_input(path);
    BlockReader reader(*input);
    Flows flows;
    FrameDecoder decoder(flows);
    read_capture(reader, [&](const CapturedFrame& f) { decoder.add(f); });
    return datagrams_in(flows.flows());
}

// Without a check: frames, IP and UDP headers alone.
std::uint64_t read_headers(const std::string& path) {
    const auto input = open_input(path);
    BlockReader reader(*input);
    Payloads payloads;
    FrameDecoder decoder(payloads);
    read_capture(reader, [&](const CapturedFrame& f) { decoder.add(f); });
    return payloads.bytes;
}

// Calls take(frame) for every frame that libpcap reads.
template <class Take>
void by_libpcap(const std::string& path, Take&& take) {
    char error[PCAP_ERRBUF_SIZE] = {};
    pcap_t* file = pcap_open_offline_with_tstamp_precision(path.c_str(), PCAP_TSTAMP_PRECISION_NANO, error);
    if (file == nullptr) throw std::runtime_error(error);
    pcap_pkthdr* header = nullptr;
    const unsigned char* data = nullptr;
    while (pcap_next_ex(file, &header, &data) == 1)
        take(CapturedFrame{std::as_bytes(std::span(data, header->caplen)),
                           std::chrono::seconds(header->ts.tv_sec) + Duration(header->ts.tv_usec), true,
                           kLinkEthernet});
    pcap_close(file);
}

std::uint64_t read_libpcap(const std::string& path) {
    Flows flows;
    FrameDecoder decoder(flows);
    by_libpcap(path, [&](const CapturedFrame& f) { decoder.add(f); });
    return datagrams_in(flows.flows());
}

std::uint64_t read_libpcap_alone(const std::string& path) {
    std::uint64_t bytes = 0;
    by_libpcap(path, [&](const CapturedFrame& f) { bytes += f.bytes.size(); });
    return bytes;
}

std::uint64_t read_bare(const std::string& path) {
    static std::vector<std::byte> block(BlockReader::kBlock);
    const int file = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
    std::uint64_t bytes = 0;
    ssize_t n = 0;
    while ((n = ::read(file, block.data(), block.size())) > 0) bytes += static_cast<std::uint64_t>(n);
    ::close(file);
    return bytes;
}

double resident_megabytes() {
    std::ifstream in("/proc/self/statm");
    double all = 0, resident = 0;
    in >> all >> resident;
    return resident * static_cast<double>(::sysconf(_SC_PAGESIZE)) / 1e6;
}

// What the checks of that many flows add to this program's memory.
double megabytes_for(const std::string& path) {
    const double before = resident_megabytes();
    const auto input = open_input(path);
    BlockReader reader(*input);
    Flows flows;
    FrameDecoder decoder(flows);
    read_capture(reader, [&](const CapturedFrame& f) { decoder.add(f); });
    const double after = resident_megabytes();
    sink = sink + flows.flows().size();
    return after - before;
}

// Per datagram, once every flow of those sent at a time has been seen: over the latter two thirds of
// what these carry.
double steady_seconds(const std::string& path, std::uint64_t at_a_time, std::uint64_t datagrams) {
    const std::uint64_t block = datagrams * at_a_time / kGroups, third = block / 3;
    double best = 1e9;
    for (int round = 0; round < 5; ++round) {
        const auto input = open_input(path);
        BlockReader reader(*input);
        Flows flows;
        FrameDecoder decoder(flows);
        std::uint64_t count = 0;
        double begin = 0, took = 0;
        read_capture(reader, [&](const CapturedFrame& f) {
            const std::uint64_t place = count++ % block;
            if (place == third) begin = bench::now_in_seconds();
            decoder.add(f);
            if (place == block - 1) took += bench::now_in_seconds() - begin;
        });
        best = std::min(best, took / static_cast<double>(datagrams / block * (block - third)));
        sink = sink + flows.flows().size();
    }
    return best;
}

}  // namespace

// flow_bench FILE.ts DIRECTORY: a multi-programme stream, and where captures of it may be written.
int main(int argc, char** argv) {
    if (argc != 3) {
        std::fprintf(stderr, "usage: flow_bench FILE.ts DIRECTORY\n");
        return 2;
    }
    const Bytes stream = bench::repeated(file_bytes(argv[1]), 96'000'000);
    if (stream.empty()) return 2;
    const std::string few = std::string(argv[2]) + "/10.pcap", many = std::string(argv[2]) + "/1000.pcap",
                      tens = std::string(argv[2]) + "/tens.pcap";
    const std::size_t size = 150'000'000;
    write_file(few, capture_of(stream, 10, 10, size));
    write_file(tens, capture_of(stream, kGroups, 10, size));
    write_file(many, capture_of(stream, kGroups, kGroups, size));
    const double memory = megabytes_for(many);
    const std::uint64_t in_few = read_ours(few), in_many = read_ours(many);
    if (in_few == 0 || in_many == 0 || read_libpcap(few) != in_few) {
        std::fprintf(stderr, "flow_bench: the readers disagree\n");
        return 3;
    }
    const auto seconds = bench::seconds_of({[&] { sink = sink + read_bare(few); }, [&] { sink = sink + read_ours(few); },
                                            [&] { sink = sink + read_libpcap(few); },
                                            [&] { sink = sink + read_libpcap_alone(few); },
                                            [&] { sink = sink + read_headers(few); }},
                                           5);
    const double bytes = static_cast<double>(std::filesystem::file_size(few)) / 1e9;
    const double ten = steady_seconds(tens, 10, in_many), thousand = steady_seconds(many, kGroups, in_many);
    bench::part("pcap.read", bytes / seconds[0], "GB/s");
    bench::part("pcap.headers", bytes / seconds[4], "GB/s");
    bench::part("pcap.full", bytes / seconds[1], "GB/s");
    bench::part("pcap.libpcap", bytes / seconds[2], "GB/s");
    bench::part("pcap.libpcap_alone", bytes / seconds[3], "GB/s");
    bench::part("flow.10", ten * 1e9, "ns/datagram");
    bench::part("flow.1000", thousand * 1e9, "ns/datagram");
    bool met = bench::at_least("pcap.full.vs_libpcap", seconds[2] / seconds[1], "ratio", 5);
    met &= bench::at_least("pcap.full.vs_read", seconds[0] / seconds[1], "ratio", 0.6);
    met &= bench::at_most("flow.1000_vs_10", thousand / ten, "ratio", 1.2);
    met &= bench::at_most("flow.1000.memory", memory, "MB", 256);
    return met ? 0 : 1;
}
