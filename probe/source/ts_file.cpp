// SPDX-License-Identifier: Apache-2.0
#include "mastline/source/ts_file.hpp"

#include <algorithm>
#include <array>

#include "mastline/mpeg/pid.hpp"

namespace mastline {

namespace {

constexpr std::array<std::size_t, 3> kStrides{188, 192, 204};
constexpr std::size_t kInARow = 5;
constexpr std::size_t kStampSize = 4;

bool in_sync(ByteView bytes, std::size_t at) { return read_u8(bytes, at) == kSyncByte; }

bool aligned(ByteView bytes, std::size_t offset, std::size_t stride) {
    std::size_t seen = 0;
    for (std::size_t at = offset; seen < kInARow && at + kTsPacketSize <= bytes.size(); at += stride) {
        if (!in_sync(bytes, at)) return false;
        ++seen;
    }
    return seen > 1 || (seen == 1 && bytes.size() - offset == kTsPacketSize);
}

// Packets from there on whose header is one: no reserved adaptation_field_control, no error indicator.
std::size_t plausible_headers(ByteView bytes, std::size_t offset, std::size_t stride) {
    constexpr std::size_t looked_at = 64;
    std::size_t seen = 0;
    for (std::size_t i = 0, at = offset; i < looked_at && at + kTsPacketSize <= bytes.size(); ++i, at += stride)
        if (in_sync(bytes, at) && (read_u8(bytes, at + 1) & 0x80U) == 0 && (read_u8(bytes, at + 3) & 0x30U) != 0) ++seen;
    return seen;
}

// A stamp in front of each packet can have a sync byte in the same place for long.
std::size_t behind_stamps(ByteView bytes, std::size_t offset) {
    constexpr std::size_t stride = kStampSize + kTsPacketSize;
    std::size_t best = offset;
    for (std::size_t at = offset + 1; at <= offset + kStampSize; ++at)
        if (aligned(bytes, at, stride) && plausible_headers(bytes, at, stride) > plausible_headers(bytes, best, stride))
            best = at;
    return best;
}

// 30 bits of a 27 MHz clock behind two bits of copy permission, unwrapped (common practice; the
// stamp is not part of ISO/IEC 13818-1).
class StampClock {
public:
    Duration at(std::uint32_t stamp) {
        const std::uint32_t ticks = stamp & 0x3FFFFFFF;
        if (last_) elapsed_ += PcrTicks((ticks - *last_) & 0x3FFFFFFF);
        last_ = ticks;
        return std::chrono::duration_cast<Duration>(elapsed_);
    }

private:
    std::optional<std::uint32_t> last_;
    PcrTicks elapsed_{};
};

// Some makers of packets of 192 bytes leave the stamp without a meaning: steps of more than a second
// between packets that follow one another at the start of a file are no clock.
bool stamps_tell_time(ByteView bytes, std::uint32_t first, std::size_t packets) {
    constexpr std::size_t looked_at = 64, stride = kStampSize + kTsPacketSize;
    constexpr std::uint32_t second = 27'000'000;
    std::uint32_t last = first;
    for (std::size_t i = 1; i < std::min(packets, looked_at); ++i) {
        const std::uint32_t now = read_u32(bytes, i * stride - kStampSize);
        if (((now - last) & 0x3FFFFFFF) > second) return false;
        last = now;
    }
    return true;
}

class TsFileReader {
public:
    TsFileReader(BlockReader& reader, const TsRunSink& sink) : reader_(reader), sink_(sink) {}

    TsFileSummary run() {
        while (align()) deliver_aligned();
        finish();
        return std::move(summary_);
    }

private:
    // No more than stays in the processor's cache: it is gone through several times.
    ByteView block() {
        const ByteView bytes = reader_.ahead(BlockReader::kBlock);
        return bytes.first(std::min(bytes.size(), 2 * BlockReader::kBlock));
    }

    // Moves to the next packet; false at the end.
    bool align() {
        for (;;) {
            const ByteView bytes = block();
            if (bytes.size() < kTsPacketSize) return false;
            if (const auto found = find_alignment(bytes)) {
                pass(bytes.first(found->offset), found->stride);
                return true;
            }
            if (bytes.size() < BlockReader::kBlock) return false;
            // Keep what may be the beginning of a run.
            pass(bytes.first(bytes.size() - kInARow * kStrides.back()), 0);
        }
    }

    // Bytes outside the alignment. Once packets have been seen they are delivered as they are, so that
    // the loss shows.
    void pass(ByteView bytes, std::size_t stride) {
        if (summary_.packets == 0) {
            const std::size_t own = stride == 192 ? std::min(bytes.size(), kStampSize) : 0;
            summary_.leading_bytes += bytes.size() - own;
        } else {
            summary_.skipped_bytes += bytes.size();
            if (!bytes.empty()) sink_({bytes, arrival_});
        }
        if (stride == 192 && bytes.size() >= kStampSize)
            stamp_ = read_u32(bytes, bytes.size() - kStampSize);
        if (stride != 0) summary_.packet_size = stride;
        reader_.skip(bytes.size());
    }

    // Until two packets in a row that follow one another have lost their sync byte (TR 101 290 1.1).
    void deliver_aligned() {
        for (;;) {
            const ByteView bytes = block();
            const std::size_t run = run_length(bytes);
            if (run == 0) return;
            const std::size_t stride = summary_.packet_size;
            if (stride == kTsPacketSize) give({bytes.first(run * stride), std::nullopt});
            else deliver_apart(bytes, run);
            reader_.skip(std::min(run * stride, bytes.size()));
        }
    }

    // Packets from the front of `bytes` that are still aligned; short of the end of the block, so
    // that the judgement never depends on where blocks are cut.
    std::size_t run_length(ByteView bytes) const {
        const std::size_t stride = summary_.packet_size;
        const bool at_end = bytes.size() < BlockReader::kBlock;
        const std::size_t margin = at_end ? 0 : 2 * stride;
        std::size_t run = 0;
        for (std::size_t at = 0; at + kTsPacketSize + margin <= bytes.size(); at += stride, ++run) {
            if (in_sync(bytes, at)) continue;
            const std::size_t next = at + stride;
            const bool last = next + kTsPacketSize > bytes.size();
            if (!last && !in_sync(bytes, next)) break;
        }
        return run;
    }

    void deliver_apart(ByteView bytes, std::size_t run) {
        const std::size_t stride = summary_.packet_size;
        if (stride == 192 && stamp_ && !timed_) timed_ = stamps_tell_time(bytes, *stamp_, run);
        for (std::size_t i = 0; i < run; ++i) {
            const std::size_t at = i * stride;
            TsRun one{bytes.subspan(at, kTsPacketSize), std::nullopt};
            if (stride == 192) {
                if (stamp_ && timed_.value_or(false)) arrival_ = clock_.at(*stamp_);
                one.arrival = arrival_;
                stamp_.reset();
                if (at + stride <= bytes.size()) stamp_ = read_u32(bytes, at + kTsPacketSize);
            }
            give(one);
        }
    }

    void finish() {
        const ByteView rest = reader_.ahead(kTsPacketSize);
        std::size_t left = rest.size();
        if (left >= kTsPacketSize && summary_.packets > 0) {  // no place where packets start again
            pass(rest, 0);
            left = 0;
        }
        if (const auto packed = reader_.damage(); !packed.empty()) summary_.damage = packed;
        else if (left > 0 && summary_.packets > 0)
            summary_.damage = "the last packet is cut short: " + std::to_string(left) + " bytes";
    }

    void give(const TsRun& run) {
        summary_.packets += run.packets.size() / kTsPacketSize;
        sink_(run);
    }

    BlockReader& reader_;
    const TsRunSink& sink_;
    TsFileSummary summary_;
    StampClock clock_;
    std::optional<std::uint32_t> stamp_;  // of the packet that comes next
    std::optional<Duration> arrival_;     // of the last packet
    std::optional<bool> timed_;           // whether stamps tell the time; none: no packet yet
};

}  // namespace

std::optional<TsAlignment> find_alignment(ByteView bytes) {
    for (std::size_t offset = 0; offset + kTsPacketSize <= bytes.size(); ++offset) {
        if (!in_sync(bytes, offset)) continue;
        for (const std::size_t stride : kStrides)
            if (aligned(bytes, offset, stride))
                return TsAlignment{stride == 192 ? behind_stamps(bytes, offset) : offset, stride};
    }
    return std::nullopt;
}

TsFileSummary read_ts_file(BlockReader& reader, const TsRunSink& sink) {
    return TsFileReader(reader, sink).run();
}

}  // namespace mastline
