// SPDX-License-Identifier: Apache-2.0
#include "pid_table.hpp"

#include <algorithm>

namespace mastline {

namespace {

TsPacket packet_at(const std::byte* at) { return TsPacket(at, kTsPacketSize); }

}  // namespace

PidTable::Id PidTable::find_or_add(Pid pid) {
    Id& id = index_[pid.value()];
    if (id != kNone) return id;
    id = static_cast<Id>(states_.size());
    states_.emplace_back();
    memories_.emplace_back().pid = pid;
    // The counter of null packets is undefined (2.4.3.3).
    if (pid == kNullPid) states_.back().compared &= ~header_bits::counter;
    return id;
}

// While a PID is on the fast path its counter lives in `expected` alone.
ContinuityMemory PidTable::continuity_of(Id id) const {
    ContinuityMemory memory = memories_[id].continuity;
    const std::uint32_t expected = states_[id].expected;
    if (expected != PidState::kLook) memory.counter = (expected + 15U) & header_bits::counter;
    return memory;
}

void PidTable::expect_next(Id id) {
    PidState& s = states_[id];
    const PidMemory& m = memories_[id];
    const ContinuityMemory& c = m.continuity;
    // Behind a duplicate or a packet without payload the rules look further back than one counter.
    if (m.look_always || !c.known || !c.had_payload || c.was_duplicate) {
        s.expected = PidState::kLook;
        return;
    }
    s.expected = (std::uint32_t{kSyncByte} << 24) | (std::uint32_t{m.pid.value()} << 8) |
                 (std::uint32_t{m.scrambling} << 6) | header_bits::payload |
                 ((c.counter + 1U) & header_bits::counter);
}

ContinuityStep PidTable::step(Id id, TsPacket packet, const PacketHeader& header, bool excused) {
    PidState& s = states_[id];
    PidMemory& m = memories_[id];
    const auto same_bytes = [&] {
        return same_but_pcr(s.last != nullptr ? packet_at(s.last) : TsPacket(m.saved), packet);
    };
    ContinuityStep result;
    if (m.pid == kNullPid) result.next = {true, 0, true, false};
    else result = continuity_step(continuity_of(id), header, excused, same_bytes);
    m.continuity = result.next;
    if (header.transport_scrambling_control != m.scrambling) {
        if (m.scrambling != 0) m.scrambled += s.packets - m.scrambling_since;
        m.scrambling = header.transport_scrambling_control;
        m.scrambling_since = s.packets;
    }
    ++s.packets;
    s.last = packet.data();
    expect_next(id);
    return result;
}

void PidTable::pass_damaged(const PacketHeader& header) {
    const Id id = index_[header.pid.value()];
    if (id == kNone || header.pid == kNullPid) return;
    const ContinuityMemory before = continuity_of(id);
    if (!header.has_payload || ((header.continuity_counter - before.counter) & 15U) != 1) return;
    memories_[id].continuity = {true, header.continuity_counter, false, false};
    expect_next(id);
}

void PidTable::forget_counters() {
    for (std::size_t id = 1; id < states_.size(); ++id) {
        memories_[id].continuity.known = false;
        states_[id].expected = PidState::kLook;
    }
}

void PidTable::look_always(Id id, bool always) {
    if (memories_[id].look_always == always) return;
    memories_[id].continuity = continuity_of(id);
    memories_[id].look_always = always;
    expect_next(id);
}

std::uint64_t PidTable::scrambled_packets(Id id) const {
    const PidMemory& m = memories_[id];
    return m.scrambled + (m.scrambling != 0 ? states_[id].packets - m.scrambling_since : 0);
}

void PidTable::save_last(Id id) {
    PidState& s = states_[id];
    PidMemory& m = memories_[id];
    // Null packets are not compared with one another.
    if (s.last != nullptr && m.pid != kNullPid) std::copy_n(s.last, kTsPacketSize, m.saved.begin());
    s.last = nullptr;
}

void PidTable::save_last(const std::byte* begin, const std::byte* end) {
    // Few packets or few PIDs, whichever is less to go through.
    if (static_cast<std::size_t>(end - begin) / kTsPacketSize < count()) {
        for (const std::byte* p = begin; p != end; p += kTsPacketSize)
            save_last(index_[(header_word(p) >> 8) & 0x1FFFU]);
    } else {
        for (std::size_t id = 1; id < states_.size(); ++id) save_last(static_cast<Id>(id));
    }
}

}  // namespace mastline
