// SPDX-License-Identifier: Apache-2.0
#include "mastline/source/pcap_writer.hpp"

#include <algorithm>
#include <set>

namespace mastline {

namespace {

constexpr std::uint32_t kNanosecondMagic = 0xA1B23C4D;
constexpr std::uint32_t kLongestFrame = 262'144;

// Little-endian, as the magic then says.
void put(std::string& out, std::uint64_t value, int width) {
    for (int i = 0; i < width; ++i) out += static_cast<char>(value >> (8 * i) & 0xFF);
}

void put_bytes(std::string& out, const std::vector<std::byte>& bytes) {
    for (const auto b : bytes) out += static_cast<char>(b);
}

bool same_link(const std::vector<KeptPacket>& packets) {
    return std::ranges::all_of(packets, [&](const KeptPacket& p) { return p.link == packets.front().link; });
}

// |Block Type|Block Total Length|Block Body (padded to 32 bits)|Block Total Length|
void put_block(std::string& out, std::uint32_t type, std::string body) {
    body.resize((body.size() + 3) / 4 * 4);
    put(out, type, 4);
    put(out, body.size() + 12, 4);
    out += body;
    put(out, body.size() + 12, 4);
}

// |Byte-Order Magic 4|Major 2|Minor 2|Section Length 8: not told|
std::string section_header() {
    std::string out;
    put(out, 0x1A2B3C4D, 4);
    put(out, 1, 2);
    put(out, 0, 2);
    put(out, ~std::uint64_t{0}, 8);
    return out;
}

// |LinkType 2|Reserved 2|SnapLen 4|if_name|if_tsresol: 10^-9|opt_endofopt|. All have one name: they are one wire.
std::string interface_description(LinkType link) {
    std::string out;
    put(out, link.value, 2);
    put(out, 0, 2);
    put(out, kLongestFrame, 4);
    put(out, 2, 2);
    put(out, 4, 2);
    out += "wire";
    put(out, 9, 2);
    put(out, 1, 2);
    put(out, 9, 4);
    put(out, 0, 4);
    return out;
}

// |Interface ID 4|Timestamp High 4|Timestamp Low 4|Captured Length 4|Original Length 4|Data|
std::string enhanced_packet(const KeptPacket& p, std::size_t interface) {
    const auto at = static_cast<std::uint64_t>(p.arrival.count());
    std::string out;
    put(out, interface, 4);
    put(out, at >> 32, 4);
    put(out, at & 0xFFFFFFFF, 4);
    put(out, p.bytes.size(), 4);
    put(out, p.bytes_on_wire, 4);
    put_bytes(out, p.bytes);
    return out;
}

}  // namespace

// | Magic | Major 2 | Minor 4 | Reserved | Reserved | SnapLen | LinkType |, then for each packet
// | Seconds | Nanoseconds | Captured Length | Original Length |
std::string pcap_of(const std::vector<KeptPacket>& packets) {
    std::string out;
    put(out, kNanosecondMagic, 4);
    put(out, 2, 2);
    put(out, 4, 2);
    put(out, 0, 8);
    put(out, kLongestFrame, 4);
    put(out, packets.empty() ? kLinkRaw.value : packets.front().link.value, 4);
    for (const auto& p : packets) {
        const auto at = static_cast<std::uint64_t>(p.arrival.count());
        put(out, at / 1'000'000'000, 4);
        put(out, at % 1'000'000'000, 4);
        put(out, p.bytes.size(), 4);
        put(out, p.bytes_on_wire, 4);
        put_bytes(out, p.bytes);
    }
    return out;
}

std::string pcapng_of(const std::vector<KeptPacket>& packets) {
    std::set<LinkType> links;
    for (const auto& p : packets) links.insert(p.link);
    std::string out;
    put_block(out, 0x0A0D0D0A, section_header());
    for (const LinkType link : links) put_block(out, 1, interface_description(link));
    for (const auto& p : packets)
        put_block(out, 6, enhanced_packet(p, static_cast<std::size_t>(std::distance(links.begin(), links.find(p.link)))));
    return out;
}

std::string capture_of(const std::vector<KeptPacket>& packets) {
    return same_link(packets) ? pcap_of(packets) : pcapng_of(packets);
}

std::string_view capture_ending(const std::vector<KeptPacket>& packets) {
    return same_link(packets) ? ".pcap" : ".pcapng";
}

}  // namespace mastline
