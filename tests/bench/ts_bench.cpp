// SPDX-License-Identifier: Apache-2.0
// Speed of the transport-stream checks, as ratios to reading the same bytes and to FFmpeg's demuxer, in
// one run on one machine. One line per figure, tab-separated: name, value, unit, goal.
#include <algorithm>
#include <array>
#include <chrono>
#include <cstdint>
#include <cstdio>
#include <cstring>

extern "C" {
#include <libavformat/avformat.h>
}

#include "bench.hpp"
#include "mastline/stream/stream.hpp"
#include "mastline/ts/adaptation_field.hpp"
#include "probe/stream/continuity.hpp"
#include "probe/stream/pid_table.hpp"
#include "support/stream_reading.hpp"

using namespace mastline;
using namespace mastline::test;

namespace {

constexpr std::size_t kBytes = 96'000'000;
volatile std::uint64_t sink = 0;  // what is reckoned must not be left out

// Eight sums side by side: with fewer the additions, not the memory, set the pace.
void sum_words(const Bytes& bytes) {
    constexpr std::size_t kSums = 8;
    std::array<std::uint64_t, kSums> sums{}, words{};
    for (std::size_t at = 0; at + sizeof words <= bytes.size(); at += sizeof words) {
        std::memcpy(words.data(), bytes.data() + at, sizeof words);
        for (std::size_t k = 0; k < kSums; ++k) sums[k] += words[k];
    }
    std::uint64_t sum = 0;
    for (const std::uint64_t s : sums) sum += s;
    sink = sum;
}

// The first twelve bytes of each packet: no check of headers can be faster than this.
void touch_headers(const Bytes& bytes) {
    std::uint64_t sum = 0;
    for (std::size_t at = 0; at + kTsPacketSize <= bytes.size(); at += kTsPacketSize) {
        __builtin_prefetch(bytes.data() + at + 32 * kTsPacketSize);
        std::uint64_t first = 0;
        std::uint32_t next = 0;
        std::memcpy(&first, bytes.data() + at, sizeof first);
        std::memcpy(&next, bytes.data() + at + sizeof first, sizeof next);
        sum += first ^ next;
    }
    sink = sum;
}

// Sync, transport_error_indicator, PID, continuity with its exceptions, scrambling, PCR.
void check_headers(const Bytes& bytes) {
    PidTable pids;
    std::uint64_t found = 0;
    const std::byte* const end = bytes.data() + bytes.size() / 188 * 188;
    for (const std::byte* p = bytes.data(); (p = pids.skip_plain(p, end)) != end; p += kTsPacketSize) {
        const TsPacket packet(p, kTsPacketSize);
        const auto header = parse_packet_header(packet);
        if (!header || header->transport_error_indicator) {
            ++found;
            continue;
        }
        const auto field = header->has_adaptation_field ? parse_adaptation_field(packet) : std::nullopt;
        const auto id = pids.find_or_add(header->pid);
        const auto step = pids.step(id, packet, *header, field && field->discontinuity_indicator);
        if (step.verdict == ContinuityVerdict::error) ++found;
        if (field && field->pcr) sink = sink + static_cast<std::uint64_t>(field->pcr->count());
    }
    sink = sink + found;
}

void check_all(const Bytes& bytes) { sink = sink + observe_bytes(bytes, 4'000'000).packets; }

void check_datagrams(const Bytes& bytes) {
    StreamMonitor monitor;
    Duration now{};
    for (std::size_t at = 0; at + 1316 <= bytes.size(); at += 1316, now += std::chrono::microseconds(277))
        monitor.packets(ByteView(bytes).subspan(at, 1316), now);
    sink = sink + monitor.observe().packets;
}

struct Memory {
    const Bytes* bytes;
    std::size_t at = 0;
};

int read_memory(void* opaque, std::uint8_t* to, int size) {
    auto* memory = static_cast<Memory*>(opaque);
    const std::size_t n = std::min(static_cast<std::size_t>(size), memory->bytes->size() - memory->at);
    if (n == 0) return AVERROR_EOF;
    std::memcpy(to, memory->bytes->data() + memory->at, n);
    memory->at += n;
    return static_cast<int>(n);
}

void demux(const Bytes& bytes, bool parse) {
    Memory memory{&bytes};
    constexpr int size = 1 << 20;
    auto* buffer = static_cast<std::uint8_t*>(av_malloc(size));
    AVIOContext* io = avio_alloc_context(buffer, size, 0, &memory, read_memory, nullptr, nullptr);
    AVFormatContext* format = avformat_alloc_context();
    format->pb = io;
    if (!parse) format->flags |= AVFMT_FLAG_NOPARSE | AVFMT_FLAG_NOFILLIN;
    if (avformat_open_input(&format, nullptr, av_find_input_format("mpegts"), nullptr) < 0) return;
    AVPacket* packet = av_packet_alloc();
    while (av_read_frame(format, packet) >= 0) {
        sink = sink + static_cast<std::uint64_t>(packet->size);
        av_packet_unref(packet);
    }
    av_packet_free(&packet);
    avformat_close_input(&format);
    av_freep(&io->buffer);
    avio_context_free(&io);
}

}  // namespace

// ts_bench FILE.ts: a multi-programme stream of real codecs.
int main(int argc, char** argv) {
    if (argc != 2) {
        std::fprintf(stderr, "usage: ts_bench FILE.ts\n");
        return 2;
    }
    const Bytes bytes = bench::repeated(file_bytes(argv[1]), kBytes);
    if (bytes.empty()) return 2;
    av_log_set_level(AV_LOG_QUIET);
    const auto seconds = bench::seconds_of(
        {[&] { sum_words(bytes); }, [&] { check_headers(bytes); }, [&] { check_all(bytes); },
         [&] { check_datagrams(bytes); }, [&] { demux(bytes, true); }, [&] { demux(bytes, false); },
         [&] { touch_headers(bytes); }},
        7);
    const double size = static_cast<double>(bytes.size()) / 1e9;
    const double sum = size / seconds[0], headers = size / seconds[1], full = size / seconds[2];
    const double parsed = size / seconds[4], unparsed = size / seconds[5];
    bench::part("ts.memory_read", sum, "GB/s");
    bench::part("ts.headers_touched", size / seconds[6], "GB/s");
    bench::part("ts.headers", headers, "GB/s");
    bench::part("ts.full", full, "GB/s");
    bench::part("ts.full_by_datagram", size / seconds[3], "GB/s");
    bench::part("ts.demuxer", parsed, "GB/s");
    bench::part("ts.demuxer_unparsed", unparsed, "GB/s");
    bool met = bench::at_least("ts.headers.vs_memory_read", headers / sum, "ratio", 0.8);
    met &= bench::at_least("ts.headers.vs_demuxer", headers / parsed, "ratio", 15);
    met &= bench::at_least("ts.headers.vs_demuxer_unparsed", headers / unparsed, "ratio", 4);
    met &= bench::at_least("ts.full.vs_memory_read", full / sum, "ratio", 0.35);
    met &= bench::at_least("ts.full.vs_demuxer", full / parsed, "ratio", 6);
    return met ? 0 : 1;
}
