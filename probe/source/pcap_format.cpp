// SPDX-License-Identifier: Apache-2.0
#include "probe/source/pcap_format.hpp"

#include "probe/source/wire_register.hpp"

namespace mastline {

namespace {

constexpr std::size_t kFileHeader = 24;
// Of old Linux captures: interface, protocol and packet type follow (libpcap reads them too).
constexpr std::size_t kLongRecordHeader = 24;

// | Timestamp (Seconds) | Timestamp (Micro- or nanoseconds) | Captured Length | Original Length |
struct RecordHeader {
    Duration arrival{};
    std::size_t captured = 0;
    std::uint32_t original = 0;
};

RecordHeader parse_record(ByteView bytes, PcapMagic magic) {
    const std::int64_t seconds = read_u32(bytes, 0, magic.order);
    const std::int64_t fraction = read_u32(bytes, 4, magic.order);
    return {std::chrono::seconds(seconds) + Duration(magic.nanoseconds ? fraction : fraction * 1000),
            read_u32(bytes, 8, magic.order), read_u32(bytes, 12, magic.order)};
}

// The bytes of a file seen in place come from memory, which takes as long as the checks of a record:
// asks for as many, some records further on, as are looked at now.
void fetch_ahead(ByteView bytes, std::size_t record) {
    constexpr std::size_t distance = 8 * 1024, line = 64;
    if (bytes.size() < distance + record) return;
    for (std::size_t at = distance; at < distance + record; at += line) __builtin_prefetch(bytes.data() + at);
}

}  // namespace

std::optional<PcapMagic> pcap_magic(ByteView head) {
    switch (read_u32(head, 0)) {
        case 0xA1B2C3D4: return PcapMagic{ByteOrder::big, false};
        case 0xD4C3B2A1: return PcapMagic{ByteOrder::little, false};
        case 0xA1B23C4D: return PcapMagic{ByteOrder::big, true};
        case 0x4D3CB2A1: return PcapMagic{ByteOrder::little, true};
        case 0xA1B2CD34: return PcapMagic{ByteOrder::big, false, kLongRecordHeader};
        case 0x34CDB2A1: return PcapMagic{ByteOrder::little, false, kLongRecordHeader};
        default: return std::nullopt;
    }
}

CaptureSummary read_pcap(BlockReader& reader, const FrameSink& sink) {
    CaptureSummary summary;
    const ByteView header = reader.ahead(kFileHeader);
    if (header.size() < kFileHeader) {
        summary.damage = damage_at(reader, "the file header is cut short");
        return summary;
    }
    const PcapMagic magic = pcap_magic(header).value_or(PcapMagic{});
    // The upper bits tell of a frame check sequence, which the IP lengths cut off anyway.
    const LinkType link{read_u32(header, 20, magic.order) & 0xFFFF};
    if (!is_known(link)) summary.unknown_links.insert(link);
    reader.skip(kFileHeader);
    WireRegister wires;
    const WireNumber only = wires.describe(0, {}, link);
    for (;;) {
        ByteView bytes = reader.ahead(magic.record_header);
        if (bytes.size() < magic.record_header) {
            if (!bytes.empty()) summary.damage = damage_at(reader, "the last record is cut short");
            break;
        }
        const auto record = parse_record(bytes, magic);
        if (record.captured > kLargestRecord) {
            summary.damage = damage_at(reader, "a record claims an impossible length");
            break;
        }
        bytes = reader.ahead(magic.record_header + record.captured);
        if (bytes.size() < magic.record_header + record.captured) {
            summary.damage = damage_at(reader, "the last record is cut short");
            break;
        }
        fetch_ahead(bytes, magic.record_header + record.captured);
        const ByteView frame = bytes.subspan(magic.record_header, record.captured);
        sink({frame, record.arrival, true, link, record.original, wires.of_frame(only, link, frame)});
        ++summary.frames;
        reader.skip(magic.record_header + record.captured);
    }
    summary.wires = wires.names();
    return summary;
}

}  // namespace mastline
