// SPDX-License-Identifier: Apache-2.0
// What a reader made of a capture, in the shape of the truth files.
#pragma once

#include <nlohmann/json.hpp>

#include "mastline/source/capture_file.hpp"

namespace mastline::test {

inline std::string hex(ByteView bytes) {
    static constexpr char digits[] = "0123456789abcdef";
    std::string out;
    for (const std::byte b : bytes) {
        out += digits[std::to_integer<unsigned>(b) >> 4];
        out += digits[std::to_integer<unsigned>(b) & 15];
    }
    return out;
}

inline nlohmann::json ids_of(const VlanTags& tags) {
    nlohmann::json out = nlohmann::json::array();
    for (std::size_t i = 0; i < tags.count; ++i) out.push_back(tags.ids[i].number);
    return out;
}

class Collector final : public PacketSink {
public:
    void on_datagram(const Datagram& d) override {
        datagrams.push_back({{"source", to_text(d.source)},
                             {"destination", to_text(d.destination)},
                             {"ttl", d.ttl},
                             {"dscp", d.dscp},
                             {"source_port", d.source_port.number},
                             {"port", d.port.number},
                             {"vlans", ids_of(d.frame.vlans)},
                             {"payload_hex", hex(d.payload)},
                             {"arrival_ns", d.arrival.count()}});
        truncated += d.truncated ? 1 : 0;
        stamped += d.stamped ? 1 : 0;
    }
    void on_membership(const IpPacket&) override { ++membership; }

    nlohmann::json datagrams = nlohmann::json::array();
    int truncated = 0, stamped = 0, membership = 0;
};

struct Captured {
    Collector seen;
    CaptureSummary summary;
    DecodeCounts counts;
};

inline Captured read_all(const std::string& path) {
    Captured out;
    const auto input = open_input(path);
    BlockReader reader(*input);
    FrameDecoder decoder(out.seen);
    out.summary = read_capture(reader, [&](const CapturedFrame& f) { decoder.add(f); });
    out.counts = decoder.counts();
    return out;
}

}  // namespace mastline::test
