// SPDX-License-Identifier: Apache-2.0
#include "tools/rehearse/fault/packet_faults.hpp"

#include <algorithm>

namespace mastline {

namespace {

bool changes_packets(FaultKind kind) {
    switch (kind) {
        case FaultKind::continuity:
        case FaultKind::pcr_gap:
        case FaultKind::pcr_jitter:
        case FaultKind::no_pmt:
        case FaultKind::no_component:
        case FaultKind::scrambled:
        case FaultKind::sync_loss:
            return true;
        default:
            return false;
    }
}

// Takes the PCR out of the adaptation field: what follows it moves up, stuffing fills the end.
void remove_pcr(ByteSpan packet) {
    const std::size_t end = std::min<std::size_t>(kTsPacketSize, 5U + read_u8(packet, 4));
    std::copy(packet.begin() + 12, packet.begin() + static_cast<std::ptrdiff_t>(end),
              packet.begin() + 6);
    std::fill(packet.begin() + static_cast<std::ptrdiff_t>(end) - 6,
              packet.begin() + static_cast<std::ptrdiff_t>(end), std::byte{0xFF});
    write_u8(packet, 5, read_u8(packet, 5) & ~0x10U);
}

// Takes the payload out of a packet that has an adaptation field.
void remove_payload(ByteSpan packet, unsigned counter) {
    const std::size_t start = payload_start(packet);
    std::fill(packet.begin() + static_cast<std::ptrdiff_t>(start), packet.end(), std::byte{0xFF});
    write_u8(packet, 1, read_u8(packet, 1) & ~0x40U);
    write_u8(packet, 3, 0x20U | counter);
    write_u8(packet, 4, kTsPayloadSize - 1);
}

// Marked as scrambled with the even key. The payload is changed by a fixed sequence, so that no
// decoder makes sense of it; this is no cipher.
void scramble(ByteSpan packet) {
    const std::size_t start = payload_start(packet);
    if (start >= kTsPacketSize) return;
    write_u8(packet, 3, (read_u8(packet, 3) & 0x3FU) | 0x80U);
    std::uint32_t state = 0x2545F491U + counter_of(packet);
    for (std::size_t i = start; i < kTsPacketSize; ++i) {
        state = state * 1664525U + 1013904223U;
        packet[i] ^= static_cast<std::byte>(state >> 24);
    }
}

}  // namespace

PacketFaults::PacketFaults(const std::vector<Fault>& faults) {
    for (const auto& fault : faults)
        if (changes_packets(fault.kind)) active_.push_back({fault, fault.window.begin});
}

void PacketFaults::apply(ByteSpan packets, PcrTicks now) {
    for (; !packets.empty(); packets = packets.subspan(kTsPacketSize))
        for (auto& active : active_) apply(active, packets.first(kTsPacketSize), now);
}

void PacketFaults::apply(Active& active, ByteSpan packet, PcrTicks now) {
    const bool in_window = active.fault.window.holds(now);
    const bool its_pid = pid_of(packet) == active.fault.pid;
    switch (active.fault.kind) {
        case FaultKind::continuity:
            if (its_pid) shift_counter(active, packet, now, in_window);
            break;
        case FaultKind::no_component:
            if (its_pid) remove_component(active, packet, in_window);
            break;
        case FaultKind::no_pmt:
            if (in_window && its_pid) make_null(packet);
            break;
        case FaultKind::scrambled:
            if (in_window && its_pid) scramble(packet);
            break;
        case FaultKind::pcr_gap:
            if (in_window && has_pcr(packet)) withhold_pcr(active, packet, now);
            break;
        case FaultKind::pcr_jitter:
            if (in_window && has_pcr(packet)) move_pcr(active, packet);
            break;
        default:
            if (in_window) break_sync(active, packet, now);
    }
}

// The jump stays: later counters follow on from it, so that each jump is one fault.
void PacketFaults::shift_counter(Active& active, ByteSpan packet, PcrTicks now, bool in_window) {
    if (in_window && has_payload(packet) && now >= active.next) {
        ++active.shift;
        active.next = now + active.fault.interval;
    }
    set_counter(packet, counter_of(packet) + active.shift);
}

void PacketFaults::withhold_pcr(Active& active, ByteSpan packet, PcrTicks now) {
    if (now < active.next) return remove_pcr(packet);
    active.next = now + active.fault.interval;
}

void PacketFaults::move_pcr(Active& active, ByteSpan packet) {
    active.early = !active.early;
    const PcrTicks by = active.early ? kPcrWrap - active.fault.amount : active.fault.amount;
    write_pcr(packet, *pcr_of(packet) + by);
}

// A PCR that the component carries goes on, in packets without payload.
void PacketFaults::remove_component(Active& active, ByteSpan packet, bool in_window) {
    if (!in_window) {
        active.counter = counter_of(packet);
        return;
    }
    if (!has_pcr(packet)) return make_null(packet);
    if (has_payload(packet))
        remove_payload(packet, active.counter);
    else
        set_counter(packet, active.counter);
}

void PacketFaults::break_sync(Active& active, ByteSpan packet, PcrTicks now) {
    if (now >= active.next) {
        active.left = active.fault.count;
        active.next = now + active.fault.interval;
    }
    if (active.left == 0) return;
    --active.left;
    write_u8(packet, 0, ~unsigned{kSyncByte} & 0xFFU);
}

}  // namespace mastline
