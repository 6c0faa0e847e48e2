// SPDX-License-Identifier: Apache-2.0
#include "probe/source/pcapng_format.hpp"

#include <algorithm>
#include <limits>

#include "probe/source/pcap_format.hpp"
#include "probe/source/wire_register.hpp"

namespace mastline {

namespace {

enum : std::uint32_t {
    kInterfaceDescription = 1,
    kObsoletePacket = 2,
    kSimplePacket = 3,
    kInterfaceStatistics = 5,
    kEnhancedPacket = 6,
    kSectionHeader = 0x0A0D0D0A,  // reads the same in both byte orders
};
enum : std::uint16_t { kIfName = 2, kIfTsResol = 9, kIfTsOffset = 14, kIsbIfDrop = 5 };

struct Interface {
    LinkType link;
    WireNumber wire;
    std::size_t snap_length = 0;  // 0: no limit
    TimeResolution resolution;
    std::int64_t offset_seconds = 0;
    std::uint64_t dropped = 0;  // as its last statistics said: they count from the start
};

// Calls f(code, value) for each option; stops at opt_endofopt or where the bytes end.
template <class F>
void for_each_option(ByteView bytes, ByteOrder order, F&& f) {
    while (bytes.size() >= 4) {
        const std::uint16_t code = read_u16(bytes, 0, order);
        const std::size_t length = read_u16(bytes, 2, order);
        if (code == 0 || bytes.size() - 4 < length) return;
        f(code, bytes.subspan(4, length));
        bytes = bytes.subspan(std::min(bytes.size(), 4 + (length + 3) / 4 * 4));
    }
}

// Of an option; other programs end it with a NUL now and then.
std::string text_of(ByteView value) {
    std::string out;
    for (const std::byte b : value) {
        if (b == std::byte{0}) break;
        out += static_cast<char>(b);
    }
    return out;
}

class PcapngReader {
public:
    PcapngReader(BlockReader& reader, const FrameSink& sink) : reader_(reader), sink_(sink) {}

    CaptureSummary run() {
        while (summary_.damage.empty() && next_block()) {
        }
        summary_.wires = wires_.names();
        return std::move(summary_);
    }

private:
    // |Block Type|Block Total Length|Block Body (padded to 32 bits)|Block Total Length|
    bool next_block() {
        ByteView head = reader_.ahead(12);
        if (head.empty()) return false;
        if (head.size() < 12) return stop("the last block is cut short");
        if (read_u32(head, 0) == kSectionHeader && !start_section(head)) return false;
        const std::size_t total = read_u32(head, 4, order_);
        if (total < 12 || total % 4 != 0 || total > kLargestRecord)
            return stop("a block claims an impossible length");
        const ByteView block = reader_.ahead(total);
        if (block.size() < total) return stop("the last block is cut short");
        if (read_u32(block, total - 4, order_) != total)
            return stop("the two lengths of a block differ");
        take(read_u32(block, 0, order_), block.subspan(8, total - 12));
        reader_.skip(total);
        return true;
    }

    bool start_section(ByteView head) {
        switch (read_u32(head, 8)) {
            case 0x1A2B3C4D: order_ = ByteOrder::big; break;
            case 0x4D3C2B1A: order_ = ByteOrder::little; break;
            default: return stop("a section has no byte-order magic");
        }
        interfaces_.clear();
        return true;
    }

    void take(std::uint32_t type, ByteView body) {
        switch (type) {
            case kInterfaceDescription: describe(body); break;
            case kEnhancedPacket: enhanced_packet(body); break;
            case kSimplePacket: simple_packet(body); break;
            case kObsoletePacket: obsolete_packet(body); break;
            case kInterfaceStatistics: statistics(body); break;
            default: break;  // names, comments, secrets: nothing for us
        }
    }

    // |LinkType 2|Reserved 2|SnapLen 4|Options|
    void describe(ByteView body) {
        Interface out;
        if (body.size() < 8) {
            stop("an interface description is cut short");
            return;
        }
        out.link = {read_u16(body, 0, order_)};
        out.snap_length = read_u32(body, 4, order_);
        std::string name;
        for_each_option(body.subspan(8), order_, [&](std::uint16_t code, ByteView value) {
            if (code == kIfName) {
                name = text_of(value);
            } else if (code == kIfTsResol && !value.empty()) {
                const auto bits = read_u8(value, 0);
                out.resolution = {(bits & 0x80) != 0, bits & 0x7FU};
            } else if (code == kIfTsOffset && value.size() >= 8) {
                out.offset_seconds = static_cast<std::int64_t>(read_u64(value, 0, order_));
            }
        });
        if (!is_known(out.link)) summary_.unknown_links.insert(out.link);
        out.wire = wires_.describe(interfaces_.size(), name, out.link);
        interfaces_.push_back(out);
    }

    // |Interface ID 4|Timestamp High 4|Timestamp Low 4|Captured Length 4|Original Length 4|Data|
    void enhanced_packet(ByteView body) {
        if (body.size() < 20) stop("a packet block is cut short");
        else packet(read_u32(body, 0, order_), body, 20);
    }

    // |Interface ID 2|Drops Count 2|Timestamp High 4|Timestamp Low 4|Captured 4|Original 4|Data|
    void obsolete_packet(ByteView body) {
        if (body.size() < 20) stop("a packet block is cut short");
        else packet(read_u16(body, 0, order_), body, 20);
    }

    void packet(std::uint32_t id, ByteView body, std::size_t header) {
        const std::size_t captured = read_u32(body, 12, order_);
        if (id >= interfaces_.size() || captured > body.size() - header) {
            stop(id >= interfaces_.size() ? "a packet names an interface that was never described"
                                          : "a packet is longer than its block");
            return;
        }
        const Interface& from = interfaces_[id];
        const std::uint64_t units =
            (std::uint64_t{read_u32(body, 4, order_)} << 32) | read_u32(body, 8, order_);
        const auto arrival = arrival_of(units, from.resolution, from.offset_seconds);
        deliver(from, {body.subspan(header, captured), arrival.value_or(Duration{}), arrival.has_value(), from.link,
                       read_u32(body, 16, order_)});
    }

    // |Original Length 4|Data|; of the first interface, without a time.
    void simple_packet(ByteView body) {
        if (interfaces_.empty() || body.size() < 4) {
            stop("a simple packet has no interface or no length");
            return;
        }
        const Interface& from = interfaces_.front();
        std::size_t size = std::min<std::size_t>(read_u32(body, 0, order_), body.size() - 4);
        if (from.snap_length != 0) size = std::min(size, from.snap_length);
        deliver(from, {body.subspan(4, size), Duration{}, false, from.link, read_u32(body, 0, order_)});
    }

    // |Interface ID 4|Timestamp High 4|Timestamp Low 4|Options|
    void statistics(ByteView body) {
        if (body.size() < 12 || read_u32(body, 0, order_) >= interfaces_.size()) return;
        Interface& of = interfaces_[read_u32(body, 0, order_)];
        for_each_option(body.subspan(12), order_, [&](std::uint16_t code, ByteView value) {
            if (code != kIsbIfDrop || value.size() < 8) return;
            summary_.dropped_by_capture += read_u64(value, 0, order_) - of.dropped;
            of.dropped = read_u64(value, 0, order_);
        });
    }

    void deliver(const Interface& from, CapturedFrame frame) {
        frame.wire = wires_.of_frame(from.wire, frame.link, frame.bytes);
        ++summary_.frames;
        sink_(frame);
    }

    bool stop(std::string_view what) {
        summary_.damage = damage_at(reader_, what);
        return false;
    }

    BlockReader& reader_;
    const FrameSink& sink_;
    CaptureSummary summary_;
    ByteOrder order_ = ByteOrder::big;
    std::vector<Interface> interfaces_;  // of the section
    WireRegister wires_;                 // of the file
};

constexpr std::int64_t kLatestSeconds = std::int64_t{200} * 365 * 24 * 3600;

struct Stamp {
    std::uint64_t seconds = 0, nanoseconds = 0;
};

Stamp from_decimal(std::uint64_t units, unsigned exponent) {
    std::uint64_t second = 1;
    for (; exponent > 9; --exponent) units /= 10;
    for (unsigned i = 0; i < exponent; ++i) second *= 10;
    return {units / second, units % second * (1'000'000'000U / second)};
}

Stamp from_binary(std::uint64_t units, unsigned exponent) {
    if (exponent > 63) return {};  // less than a nanosecond
    const std::uint64_t seconds = units >> exponent;
    std::uint64_t fraction = units & ((std::uint64_t{1} << exponent) - 1);
    if (exponent > 34) {  // 34 bits of fraction times 10^9 still fit 64 bits
        fraction >>= exponent - 34;
        exponent = 34;
    }
    return {seconds, (fraction * 1'000'000'000U) >> exponent};
}

}  // namespace

bool is_pcapng(ByteView head) { return read_u32(head, 0) == kSectionHeader; }

std::optional<Duration> arrival_of(std::uint64_t units, TimeResolution resolution, std::int64_t offset_seconds) {
    const Stamp stamp = resolution.binary ? from_binary(units, resolution.exponent) : from_decimal(units, resolution.exponent);
    std::int64_t seconds = 0;
    if (stamp.seconds > std::numeric_limits<std::int64_t>::max() ||
        __builtin_add_overflow(static_cast<std::int64_t>(stamp.seconds), offset_seconds, &seconds) || seconds < 0 ||
        seconds >= kLatestSeconds)
        return std::nullopt;
    return std::chrono::seconds(seconds) + Duration(static_cast<std::int64_t>(stamp.nanoseconds));
}

CaptureSummary read_pcapng(BlockReader& reader, const FrameSink& sink) {
    return PcapngReader(reader, sink).run();
}

}  // namespace mastline
