// SPDX-License-Identifier: Apache-2.0
#include "mastline/source/pcap_writer.hpp"

#include "mastline/source/link_layer.hpp"

namespace mastline {

namespace {

constexpr std::uint32_t kNanosecondMagic = 0xA1B23C4D;
constexpr std::uint32_t kLongestFrame = 262'144;

// Little-endian, as the magic then says.
void put(std::string& out, std::uint64_t value, int width) {
    for (int i = 0; i < width; ++i) out += static_cast<char>(value >> (8 * i) & 0xFF);
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
    put(out, kLinkRaw.value, 4);
    for (const auto& p : packets) {
        const auto at = static_cast<std::uint64_t>(p.arrival.count());
        put(out, at / 1'000'000'000, 4);
        put(out, at % 1'000'000'000, 4);
        put(out, p.bytes.size(), 4);
        put(out, p.bytes_on_wire, 4);
        for (const auto b : p.bytes) out += static_cast<char>(b);
    }
    return out;
}

}  // namespace mastline
