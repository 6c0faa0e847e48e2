// SPDX-License-Identifier: Apache-2.0
// Transport packets, sections and PES packets in the terms of ISO/IEC 13818-1.
#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <initializer_list>
#include <map>
#include <optional>
#include <string_view>
#include <utility>
#include <vector>

#include "mastline/bytes/byte_reader.hpp"
#include "mastline/bytes/crc32.hpp"

namespace mastline::test {

using Bytes = std::vector<std::byte>;
using PacketBytes = std::array<std::byte, 188>;

inline Bytes bytes_of(std::initializer_list<int> values) {
    Bytes out;
    for (const int v : values) out.push_back(static_cast<std::byte>(v));
    return out;
}
inline Bytes bytes_of(std::string_view text) {
    Bytes out;
    for (const char c : text) out.push_back(static_cast<std::byte>(c));
    return out;
}
inline void append(Bytes& to, const Bytes& more) { to.insert(to.end(), more.begin(), more.end()); }
inline void append_u16(Bytes& to, unsigned v) {
    to.push_back(static_cast<std::byte>(v >> 8));
    to.push_back(static_cast<std::byte>(v));
}
inline Bytes joined(std::initializer_list<Bytes> parts) {
    Bytes out;
    for (const auto& p : parts) append(out, p);
    return out;
}

// One transport packet: pid(0x100).counter(7).pcr(2'700'000). What is not filled is stuffing: in
// front of the payload as adaptation field stuffing, or 0xFF after a section.
class PacketBuilder {
public:
    PacketBuilder& pid(unsigned v) { return pid_ = v, *this; }
    PacketBuilder& counter(unsigned v) { return counter_ = v & 15U, *this; }
    PacketBuilder& unit_start(bool v = true) { return start_ = v, *this; }
    PacketBuilder& transport_error(bool v = true) { return error_ = v, *this; }
    PacketBuilder& scrambling(unsigned bits) { return scrambling_ = bits, *this; }
    PacketBuilder& pcr(std::uint64_t ticks) { return pcr_ = ticks, *this; }
    PacketBuilder& discontinuity(bool v = true) { return discontinuity_ = v, *this; }
    PacketBuilder& random_access(bool v = true) { return random_access_ = v, *this; }
    PacketBuilder& adaptation_only(bool v = true) { return adaptation_only_ = v, *this; }
    PacketBuilder& payload(Bytes v) { return payload_ = std::move(v), *this; }

    unsigned pid_value() const { return pid_; }
    bool has_payload() const { return !adaptation_only_; }
    // Payload bytes that fit beside the adaptation field asked for.
    std::size_t room() const { return 184 - (needs_field() ? 2U + (pcr_ ? 6U : 0U) : 0U); }

    // Payload shorter than the room: `tail` fills up behind it when given, else adaptation stuffing.
    PacketBytes build(std::optional<int> tail = std::nullopt) const {
        PacketBytes out{};
        out.fill(std::byte{0xFF});
        const std::size_t size = adaptation_only_ ? 0 : tail ? room() : payload_.size();
        const bool field = adaptation_only_ || needs_field() || size < 184;
        out[0] = std::byte{0x47};
        out[1] = static_cast<std::byte>((error_ ? 0x80U : 0U) | (start_ ? 0x40U : 0U) | (pid_ >> 8));
        out[2] = static_cast<std::byte>(pid_);
        out[3] = static_cast<std::byte>((scrambling_ << 6) | (field ? 0x20U : 0U) |
                                        (adaptation_only_ ? 0U : 0x10U) | counter_);
        if (field) put_field(out, 183 - size);
        const std::size_t at = 188 - size;
        for (std::size_t i = 0; i < size; ++i)
            out[at + i] = i < payload_.size() ? payload_[i] : static_cast<std::byte>(*tail);
        return out;
    }

private:
    bool needs_field() const { return pcr_ || discontinuity_ || random_access_; }
    void put_field(PacketBytes& out, std::size_t length) const {
        out[4] = static_cast<std::byte>(length);
        if (length == 0) return;
        out[5] = static_cast<std::byte>((discontinuity_ ? 0x80U : 0U) | (random_access_ ? 0x40U : 0U) |
                                        (pcr_ ? 0x10U : 0U));
        if (!pcr_) return;
        const std::uint64_t base = *pcr_ / 300, extension = *pcr_ % 300;
        const std::uint64_t bits = (base << 15) | (0x3FU << 9) | extension;
        for (std::size_t i = 0; i < 6; ++i) out[6 + i] = static_cast<std::byte>(bits >> (40 - 8 * i));
    }

    unsigned pid_ = 0x1FFF, counter_ = 0, scrambling_ = 0;
    bool start_ = false, error_ = false, discontinuity_ = false, random_access_ = false;
    bool adaptation_only_ = false;
    std::optional<std::uint64_t> pcr_;
    Bytes payload_;
};

inline PacketBuilder packet(unsigned pid) { return PacketBuilder{}.pid(pid); }

// A section with section_syntax_indicator 1, its CRC_32 at the end.
struct SectionBuilder {
    unsigned table_id = 0, extension = 0, version = 0;
    unsigned number = 0, last_number = 0;
    bool current = true;
    Bytes body;

    Bytes build() const {
        Bytes out{static_cast<std::byte>(table_id)};
        append_u16(out, 0xB000U | static_cast<unsigned>(body.size() + 9));
        append_u16(out, extension);
        out.push_back(static_cast<std::byte>(0xC0U | (version << 1) | (current ? 1U : 0U)));
        out.push_back(static_cast<std::byte>(number));
        out.push_back(static_cast<std::byte>(last_number));
        append(out, body);
        const std::uint32_t crc = crc32_mpeg2(out);
        append_u16(out, crc >> 16);
        append_u16(out, crc & 0xFFFFU);
        return out;
    }
};

inline Bytes descriptor(unsigned tag, const Bytes& body) {
    Bytes out{static_cast<std::byte>(tag), static_cast<std::byte>(body.size())};
    append(out, body);
    return out;
}

using PatEntries = std::vector<std::pair<unsigned, unsigned>>;  // program_number, PID

inline Bytes pat_section(unsigned tsid, const PatEntries& entries, unsigned version = 0) {
    SectionBuilder s{.table_id = 0x00, .extension = tsid, .version = version};
    for (const auto& [number, pid] : entries) {
        append_u16(s.body, number);
        append_u16(s.body, 0xE000U | pid);
    }
    return s.build();
}

struct PmtEntry {
    unsigned stream_type, pid;
    Bytes descriptors;
};

inline Bytes pmt_section(unsigned program, unsigned pcr_pid, const std::vector<PmtEntry>& entries,
                         unsigned version = 0, const Bytes& program_descriptors = {}) {
    SectionBuilder s{.table_id = 0x02, .extension = program, .version = version};
    append_u16(s.body, 0xE000U | pcr_pid);
    append_u16(s.body, 0xF000U | static_cast<unsigned>(program_descriptors.size()));
    append(s.body, program_descriptors);
    for (const auto& e : entries) {
        s.body.push_back(static_cast<std::byte>(e.stream_type));
        append_u16(s.body, 0xE000U | e.pid);
        append_u16(s.body, 0xF000U | static_cast<unsigned>(e.descriptors.size()));
        append(s.body, e.descriptors);
    }
    return s.build();
}

inline Bytes service_descriptor(unsigned type, const Bytes& provider, const Bytes& name) {
    Bytes body{static_cast<std::byte>(type), static_cast<std::byte>(provider.size())};
    append(body, provider);
    body.push_back(static_cast<std::byte>(name.size()));
    append(body, name);
    return descriptor(0x48, body);
}

// SDT actual with one service per entry: service_id and its descriptors.
inline Bytes sdt_section(unsigned tsid, unsigned network, const std::vector<std::pair<unsigned, Bytes>>& services,
                         unsigned version = 0) {
    SectionBuilder s{.table_id = 0x42, .extension = tsid, .version = version};
    append_u16(s.body, network);
    s.body.push_back(std::byte{0xFF});
    for (const auto& [id, descriptors] : services) {
        append_u16(s.body, id);
        s.body.push_back(std::byte{0xFC});
        append_u16(s.body, 0x8000U | static_cast<unsigned>(descriptors.size()));  // running
        append(s.body, descriptors);
    }
    return s.build();
}

namespace detail {
inline void append_stamp(Bytes& out, unsigned prefix, std::uint64_t v) {
    out.push_back(static_cast<std::byte>((prefix << 4) | ((v >> 29) & 0x0EU) | 1U));
    append_u16(out, static_cast<unsigned>(((v >> 14) & 0xFFFEU) | 1U));
    append_u16(out, static_cast<unsigned>(((v << 1) & 0xFFFEU) | 1U));
}
}  // namespace detail

// A PES packet; PES_packet_length 0 (allowed for video) when it does not fit in 16 bits.
inline Bytes pes_packet(unsigned stream_id, std::optional<std::uint64_t> pts,
                        std::optional<std::uint64_t> dts, const Bytes& payload) {
    Bytes head;
    if (pts) detail::append_stamp(head, dts ? 3 : 2, *pts);
    if (dts) detail::append_stamp(head, 1, *dts);
    const std::size_t length = 3 + head.size() + payload.size();
    Bytes out = bytes_of({0, 0, 1, static_cast<int>(stream_id)});
    append_u16(out, length > 0xFFFF ? 0U : static_cast<unsigned>(length));
    append(out, bytes_of({0x80, (pts ? 0x80 : 0) | (dts ? 0x40 : 0), static_cast<int>(head.size())}));
    append(out, head);
    append(out, payload);
    return out;
}

// Packets in order, with the continuity counters of every PID kept.
class StreamBuilder {
public:
    StreamBuilder& add(PacketBuilder p, std::optional<int> tail = std::nullopt) {
        unsigned& next = counters_[p.pid_value()];
        if (p.has_payload()) next = (next + 1) & 15U;
        p.counter((next + 15U) & 15U);
        packets_.push_back(p.build(tail));
        return *this;
    }
    StreamBuilder& raw(const PacketBytes& p) { return packets_.push_back(p), *this; }
    // As many packets as it takes, the first with pointer_field 0.
    StreamBuilder& section(unsigned pid, const Bytes& section) {
        return pieces(packet(pid).unit_start(), joined({bytes_of({0}), section}), 0xFF);
    }
    StreamBuilder& pes(PacketBuilder first, const Bytes& pes) { return pieces(first.unit_start(), pes, {}); }
    StreamBuilder& nulls(int count = 1) {
        for (int i = 0; i < count; ++i) raw(PacketBuilder{}.build(0xFF));
        return *this;
    }
    std::size_t count() const { return packets_.size(); }
    std::vector<PacketBytes>& packets() { return packets_; }
    Bytes bytes() const {
        Bytes out;
        out.reserve(packets_.size() * 188);
        for (const auto& p : packets_) out.insert(out.end(), p.begin(), p.end());
        return out;
    }

private:
    StreamBuilder& pieces(PacketBuilder p, const Bytes& whole, std::optional<int> tail) {
        for (std::size_t at = 0; at < whole.size();) {
            const std::size_t size = std::min(p.room(), whole.size() - at);
            const auto from = whole.begin() + static_cast<std::ptrdiff_t>(at);
            add(p.payload(Bytes(from, from + static_cast<std::ptrdiff_t>(size))), tail);
            at += size;
            p = packet(p.pid_value());
        }
        return *this;
    }

    std::map<unsigned, unsigned> counters_;  // the next counter of each PID
    std::vector<PacketBytes> packets_;
};

}  // namespace mastline::test
