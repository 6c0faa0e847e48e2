// SPDX-License-Identifier: Apache-2.0
// Flows to rehearse, and what a receiver makes of their packets.
#pragma once

#include <map>
#include <set>
#include <string>
#include <vector>

#include "mastline/expectation/expectation.hpp"
#include "tools/rehearse/stream/packet_source.hpp"
#include "tools/rehearse/ts/pes_time.hpp"

namespace mastline::test {

// Channel 101: H.264, AAC and teletext at 8 Mbit/s on 239.192.1.1:5004, PCR with the video.
inline Expectation television() {
    Expectation out;
    out.channel = "101";
    out.name = "Harbour News";
    out.flow = {*Group::of(*parse_ip_address("239.192.1.1")), UdpPort{5004}};
    out.rate = megabits_per_second(8);
    out.ttl = 16;
    out.dscp = 34;
    out.program_number = {501};
    out.service_name = "Harbour News";
    out.provider = "Harbour";
    out.pmt_pid = Pid(256);
    out.pcr_pid = Pid(257);
    out.components = {
        {Pid(257), "h264", ""}, {Pid(258), "aac", "eng"}, {Pid(259), "teletext", "eng"}};
    return out;
}

// Channel 102: one layer II audio at 500 kbit/s, PCR on a PID of its own.
inline Expectation radio() {
    Expectation out = television();
    out.channel = "102";
    out.name = out.service_name = "Radio Mole";
    out.flow.group = *Group::of(*parse_ip_address("239.192.1.2"));
    out.rate = BitRate(500'000);
    out.program_number = {502};
    out.pcr_pid = Pid(300);
    out.components = {{Pid(258), "mpeg1-audio", "deu"}};
    return out;
}

// `count` packets of a source, one after the other.
inline std::vector<Packet> take(PacketSource& source, std::size_t count) {
    std::vector<Packet> out(count);
    for (auto& packet : out) source.next(packet);
    return out;
}

// Packets that a rate makes in a time.
inline std::size_t packets_in(BitRate rate, std::chrono::seconds time) {
    return static_cast<std::size_t>(rate.bits_per_second() * time.count() / (8 * 188));
}

// Counter rules of ISO/IEC 13818-1, 2.4.3.3: one up with payload, the same without. Null packets
// are not checked.
inline int continuity_faults(const std::vector<Packet>& packets) {
    std::map<Pid, unsigned> last;
    int faults = 0;
    for (const auto& packet : packets) {
        const Pid pid = pid_of(packet);
        if (pid == kNullPid) continue;
        const auto known = last.find(pid);
        const unsigned expected = known == last.end()   ? counter_of(packet)
                                  : has_payload(packet) ? (known->second + 1) % 16
                                                        : known->second;
        faults += counter_of(packet) != expected ? 1 : 0;
        last[pid] = counter_of(packet);
    }
    return faults;
}

struct SeenPcr {
    std::size_t packet = 0;
    PcrTicks value;
};

inline std::vector<SeenPcr> pcrs_of(const std::vector<Packet>& packets) {
    std::vector<SeenPcr> out;
    for (std::size_t i = 0; i < packets.size(); ++i)
        if (const auto value = pcr_of(packets[i])) out.push_back({i, *value});
    return out;
}

// Positions of the packets that start a section or PES packet of a PID.
inline std::vector<std::size_t> starts_of(const std::vector<Packet>& packets, Pid pid) {
    std::vector<std::size_t> out;
    for (std::size_t i = 0; i < packets.size(); ++i)
        if (pid_of(packets[i]) == pid && starts_unit(packets[i])) out.push_back(i);
    return out;
}

inline std::size_t count_of(const std::vector<Packet>& packets, Pid pid) {
    std::size_t out = 0;
    for (const auto& packet : packets) out += pid_of(packet) == pid ? 1 : 0;
    return out;
}

// The PTS of a packet that starts a PES packet.
inline PtsTicks pts_of(ByteView packet) {
    return read_pes_time(packet, payload_start(packet) + 9);
}

}  // namespace mastline::test
