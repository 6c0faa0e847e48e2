// SPDX-License-Identifier: Apache-2.0
// A planned channel, and the observation of it when all is right; tests damage one thing at a time.
#pragma once

#include "mastline/verdict/judge.hpp"

namespace mastline::test {

inline constexpr Duration kStart = std::chrono::seconds(1'700'000'000);

inline Watch ten_seconds() { return {kStart, kStart + std::chrono::seconds(10)}; }

inline Expectation planned(int number) {
    Expectation e;
    e.channel = std::to_string(100 + number);
    e.name = "Channel " + e.channel;
    e.flow = {*parse_group("239.192.10." + std::to_string(number)), {5004}};
    e.source = *parse_ip_address("10.20.0.11");
    e.encapsulation = Encapsulation::rtp;
    e.rate = megabits_per_second(8);
    e.rate_low = megabits_per_second(7.6);
    e.rate_high = megabits_per_second(8.4);
    e.ttl = 8;
    e.dscp = 24;
    e.program_number = {static_cast<std::uint16_t>(number)};
    e.service_name = "Service " + std::to_string(number);
    e.pmt_pid = Pid(256);
    e.pcr_pid = Pid(257);
    e.components = {{Pid(257), "h264", ""}, {Pid(258), "mpeg1-audio", "eng"}};
    return e;
}

inline ComponentObservation component(std::uint16_t pid, std::uint8_t type, std::string kind) {
    ComponentObservation out;
    out.pid = Pid(pid);
    out.stream_type = {type};
    out.kind = std::move(kind);
    out.packets = 5000;
    return out;
}

inline ProgrammeObservation programme(int number) {
    ProgrammeObservation out;
    out.program_number = {static_cast<std::uint16_t>(number)};
    out.pmt_pid = Pid(256);
    out.pmt_seen = true;
    out.pcr_pid = Pid(257);
    out.service = ServiceObservation{"Service " + std::to_string(number), "", 0x19, "", false};
    out.components = {component(257, 0x1B, "h264"), component(258, 0x03, "mpeg1-audio")};
    out.components[1].languages = {"eng"};
    return out;
}

inline StreamObservation stream(int number) {
    StreamObservation s;
    s.time_base = TimeBase::arrival;
    s.first = kStart;
    s.last = kStart + std::chrono::seconds(10);
    s.packets = 53'000;
    s.in_sync = true;
    s.rate = s.arrival_rate = megabits_per_second(8);
    s.pat_seen = true;
    s.transport_stream_id = 1;
    s.programmes = {programme(number)};
    for (const std::uint16_t pid : {std::uint16_t{257}, std::uint16_t{258}}) {
        PidObservation p;
        p.pid = Pid(pid);
        p.packets = 5000;
        p.last = s.last;
        s.pids.push_back(p);
    }
    PcrObservation pcr;
    pcr.pid = Pid(257);
    pcr.count = 300;
    pcr.max_interval = std::chrono::milliseconds(35);
    pcr.jitter.judged = true;
    pcr.jitter.drift_free = std::chrono::milliseconds(2);
    s.pcrs = {pcr};
    return s;
}

inline FlowObservation right(const Expectation& e) {
    FlowObservation f;
    f.destination = destination_of(e.flow);
    f.datagrams = f.rtp_datagrams = 7600;
    f.first = kStart + std::chrono::milliseconds(20);
    f.last = kStart + std::chrono::milliseconds(9999);
    f.sources = {{*e.source, {40'000}, 7600, f.first, f.last}};
    f.ttl = ValueRange{8, 8};
    f.dscp = ValueRange{24, 24};
    f.packing[7] = 7600;
    f.inter_arrival = SpreadObservation{7599, Duration(1), Duration(1'316'000), Duration(1'316'000),
                                        Duration(1'400'000), Duration(3'000'000)};
    f.silent_from = f.first;
    f.rtp = RtpObservation{};
    f.rtp->packets = 7600;
    f.stream = stream(static_cast<int>(e.program_number.value));
    return f;
}

}  // namespace mastline::test
