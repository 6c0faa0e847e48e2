// SPDX-License-Identifier: Apache-2.0
// Speed of the transport-stream checks, as ratios to reading the same bytes and to FFmpeg's demuxer, in
// one run on one machine. One line per figure, tab-separated: name, value, unit, goal.
#include <time.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cstdint>
#include <cstdio>
#include <cstring>
#include <functional>
#include <vector>

extern "C" {
#include <libavformat/avformat.h>
}

#include "mastline/bytes/crc32.hpp"
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

// Processor time: what else the machine does does not count.
double now_in_seconds() {
    timespec t{};
    ::clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return static_cast<double>(t.tv_sec) + static_cast<double>(t.tv_nsec) / 1e9;
}

double seconds_of(const std::function<void()>& work) {
    double best = 1e9;
    for (int round = 0; round < 7; ++round) {
        const double begin = now_in_seconds();
        work();
        best = std::min(best, now_in_seconds() - begin);
    }
    return best;
}

// The file over and over, each time with its continuity counters carried on.
Bytes repeated(const Bytes& once) {
    Bytes out;
    std::array<unsigned, 0x2000> counters{};
    while (out.size() + once.size() <= kBytes) {
        const std::size_t from = out.size();
        out.insert(out.end(), once.begin(), once.end());
        for (std::size_t at = from; at + 188 <= out.size(); at += 188) {
            const unsigned pid = read_u16(out, at + 1) & 0x1FFFU;
            const unsigned flags = read_u8(out, at + 3);
            if ((flags & 0x10U) != 0) ++counters[pid];
            out[at + 3] = static_cast<std::byte>((flags & 0xF0U) | (counters[pid] & 15U));
        }
    }
    return out;
}

void sum_words(const Bytes& bytes) {
    std::uint64_t sums[4] = {};
    const std::byte* p = bytes.data();
    for (std::size_t i = 0; i + 32 <= bytes.size(); i += 32) {
        std::uint64_t words[4];
        std::memcpy(words, p + i, sizeof words);
        for (int k = 0; k < 4; ++k) sums[k] += words[k];
    }
    sink = sums[0] + sums[1] + sums[2] + sums[3];
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

bool line(const char* name, double value, const char* unit, double goal) {
    if (goal > 0) std::printf("%s\t%.3f\t%s\t>=%g\n", name, value, unit, goal);
    else std::printf("%s\t%.3f\t%s\t-\n", name, value, unit);
    return value >= goal;
}

}  // namespace

// ts_bench FILE.ts: a multi-programme stream of real codecs.
int main(int argc, char** argv) {
    if (argc != 2) {
        std::fprintf(stderr, "usage: ts_bench FILE.ts\n");
        return 2;
    }
    const Bytes bytes = repeated(file_bytes(argv[1]));
    if (bytes.empty()) return 2;
    av_log_set_level(AV_LOG_QUIET);
    const double size = static_cast<double>(bytes.size()) / 1e9;
    const double sum = size / seconds_of([&] { sum_words(bytes); });
    const double headers = size / seconds_of([&] { check_headers(bytes); });
    const double full = size / seconds_of([&] { check_all(bytes); });
    const double datagrams = size / seconds_of([&] { check_datagrams(bytes); });
    const double parsed = size / seconds_of([&] { demux(bytes, true); });
    const double bare = size / seconds_of([&] { demux(bytes, false); });
    bool met = true;
    line("ts.memory_read", sum, "GB/s", 0);
    line("ts.headers", headers, "GB/s", 0);
    line("ts.full", full, "GB/s", 0);
    line("ts.full_by_datagram", datagrams, "GB/s", 0);
    line("ts.ffmpeg_demuxer", parsed, "GB/s", 0);
    line("ts.ffmpeg_demuxer_bare", bare, "GB/s", 0);
    met &= line("ts.headers.vs_memory_read", headers / sum, "ratio", 0.8);
    met &= line("ts.headers.vs_demuxer", headers / parsed, "ratio", 15);
    met &= line("ts.headers.vs_demuxer_bare", headers / bare, "ratio", 4);
    met &= line("ts.full.vs_memory_read", full / sum, "ratio", 0.35);
    met &= line("ts.full.vs_demuxer", full / parsed, "ratio", 6);
    return met ? 0 : 1;
}
