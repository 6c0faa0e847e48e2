// SPDX-License-Identifier: Apache-2.0
#include "tools/rehearse/play/played_index.hpp"

#include <fmt/format.h>

namespace mastline {

namespace {

constexpr std::size_t kMostGarbage = std::size_t{1} << 20;
constexpr std::size_t kSyncBytesWanted = 8;
// Between two PCRs; a longer step, or one back, is a jump of the clock and tells no rate.
constexpr PcrTicks kMostStep = std::chrono::seconds(1);

struct SeenPcr {
    std::int64_t packet = 0;
    PcrTicks value{};
};

bool syncs_at(ByteView file, std::size_t at, std::size_t stride) {
    std::size_t seen = 0;
    for (; seen < kSyncBytesWanted && at + kTsPacketSize <= file.size(); at += stride, ++seen)
        if (read_u8(file, at) != kSyncByte) return false;
    return seen >= 2;
}

bool find_packets(ByteView file, PlayedIndex& index) {
    for (std::size_t at = 0; at < std::min(file.size(), kMostGarbage); ++at)
        for (const std::size_t stride : {std::size_t{188}, std::size_t{192}, std::size_t{204}})
            if (syncs_at(file, at, stride)) {
                index.first = at;
                index.stride = stride;
                index.packets =
                    static_cast<std::int64_t>((file.size() - at - kTsPacketSize) / stride + 1);
                return true;
            }
    return false;
}

// Of the first PID that carries one.
std::vector<SeenPcr> find_pcrs(ByteView file, PlayedIndex& index) {
    std::vector<SeenPcr> out;
    for (std::int64_t i = 0; i < index.packets; ++i) {
        const ByteView packet =
            file.subspan(index.first + static_cast<std::size_t>(i) * index.stride, kTsPacketSize);
        if (read_u8(packet, 0) != kSyncByte) continue;
        const auto value = pcr_of(packet);
        if (!value || (!out.empty() && pid_of(packet) != index.clock_pid)) continue;
        index.clock_pid = pid_of(packet);
        out.push_back({i, *value});
    }
    return out;
}

PcrTicks step_between(const SeenPcr& a, const SeenPcr& b) {
    return (b.value - a.value + kPcrWrap) % kPcrWrap;
}

bool is_jump(PcrTicks step) {
    return step > kMostStep || step == PcrTicks(0);
}

// Over all steps that are no jumps; 0 when there is none.
PcrTicks time_per_packet(const std::vector<SeenPcr>& pcrs) {
    PcrTicks time{0};
    std::int64_t packets = 0;
    for (std::size_t i = 1; i < pcrs.size(); ++i) {
        const PcrTicks step = step_between(pcrs[i - 1], pcrs[i]);
        if (is_jump(step)) continue;
        time += step;
        packets += pcrs[i].packet - pcrs[i - 1].packet;
    }
    return packets == 0 ? PcrTicks(0) : time / packets;
}

PcrTicks scaled(PcrTicks step, std::int64_t part, std::int64_t whole) {
    return step * part / whole;
}

}  // namespace

PcrTicks PlayedIndex::time_of(std::int64_t packet, std::size_t& hint) const {
    while (hint + 2 < marks.size() && marks[hint + 1].packet <= packet) ++hint;
    while (hint > 0 && marks[hint].packet > packet) --hint;
    const Mark &a = marks[hint], &b = marks[hint + 1];
    return a.time + scaled(b.time - a.time, packet - a.packet, b.packet - a.packet);
}

Parsed<PlayedIndex, std::string> index_stream(ByteView file) {
    PlayedIndex out;
    if (!find_packets(file, out))
        return std::string("no transport packets: no row of sync bytes 0x47 in the first 1 MiB");
    const std::vector<SeenPcr> pcrs = find_pcrs(file, out);
    const PcrTicks per_packet = time_per_packet(pcrs);
    if (per_packet == PcrTicks(0))
        return fmt::format(
            "{} PCRs that tell no rate; at least two, less than 1 s apart, are needed",
            pcrs.size());
    PcrTicks time{0};
    out.marks.push_back({pcrs[0].packet, time});
    for (std::size_t i = 1; i < pcrs.size(); ++i) {
        const PcrTicks step = step_between(pcrs[i - 1], pcrs[i]);
        time += is_jump(step) ? per_packet * (pcrs[i].packet - pcrs[i - 1].packet) : step;
        out.marks.push_back({pcrs[i].packet, time});
    }
    std::size_t hint = 0;
    const PcrTicks head = -out.time_of(0, hint);
    for (auto& mark : out.marks) mark.time += head;
    out.length = out.time_of(out.packets, hint);
    const PcrTicks outside = out.length - (out.marks.back().time - out.marks.front().time);
    out.clock_length = step_between(pcrs.front(), pcrs.back()) + outside;
    return out;
}

}  // namespace mastline
