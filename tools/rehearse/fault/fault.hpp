// SPDX-License-Identifier: Apache-2.0
// The faults that a rehearsal can make, each on one flow and in one window of time.
#pragma once

#include <array>
#include <cstdint>
#include <string_view>

#include "mastline/mpeg/pid.hpp"
#include "tools/rehearse/stream/channel_stream.hpp"

namespace mastline {

enum class FaultKind : std::uint8_t {
    missing,
    wrong_service,
    loss,
    continuity,
    pcr_gap,
    pcr_jitter,
    no_pmt,
    no_component,
    scrambled,
    sync_loss,
    low_rate,
    second_source,
    duplicate,
    reorder,
};

// One parameter of a kind as people write it.
struct FaultKey {
    std::string_view name;      // empty: no further parameter
    std::string_view form;      // "percentage", "duration", ...
    std::string_view standard;  // value when it is not given; empty: see the meaning
    std::string_view meaning;
};

struct FaultDoc {
    FaultKind kind;
    std::string_view name;
    std::string_view meaning;
    std::array<FaultKey, 2> keys{};
};

inline constexpr std::array<FaultDoc, 14> kFaultDocs{{
    {FaultKind::missing, "missing", "nothing is sent"},
    {FaultKind::wrong_service,
     "wrong-service",
     "another channel's stream is sent on the group",
     {{{"of", "channel", "", "whose stream; the next one of the plan when not given"}}}},
    {FaultKind::loss,
     "loss",
     "datagrams are not sent",
     {{{"rate", "percentage", "1%", "share of datagrams, drawn at random (the same on every run)"},
       {"every", "count", "", "instead of rate: each n-th datagram"}}}},
    {FaultKind::continuity,
     "continuity",
     "a continuity counter jumps by one, no packet is lost",
     {{{"pid", "PID", "", "which; the first video, else the first component when not given"},
       {"every", "duration", "1s", "time between jumps"}}}},
    {FaultKind::pcr_gap,
     "pcr-gap",
     "PCRs are left out",
     {{{"interval", "duration", "200ms", "least time between PCRs"}}}},
    {FaultKind::pcr_jitter,
     "pcr-jitter",
     "PCR values are early and late in turn",
     {{{"amount", "duration", "5ms", "by how much"}}}},
    {FaultKind::no_pmt, "no-pmt", "the PMT is not sent"},
    {FaultKind::no_component,
     "no-component",
     "a component of the PMT is not sent",
     {{{"pid", "PID", "", "which; the first audio, else the first component when not given"}}}},
    {FaultKind::scrambled,
     "scrambled",
     "a component is scrambled, and marked so",
     {{{"pid", "PID", "", "which; the first video, else the first component when not given"}}}},
    {FaultKind::sync_loss,
     "sync-loss",
     "sync bytes are wrong",
     {{{"every", "duration", "1s", "time between bursts"},
       {"count", "count", "5", "transport packets in a burst"}}}},
    {FaultKind::low_rate,
     "low-rate",
     "the stream has a lower rate, in itself legal",
     {{{"percent", "percentage", "80%", "of the planned rate"}}}},
    {FaultKind::second_source, "second-source",
     "a second sender sends its own copy: from another address of the interface if it has one, "
     "else "
     "from another UDP port"},
    {FaultKind::duplicate,
     "duplicate",
     "datagrams are sent twice",
     {{{"every", "count", "100", "each n-th datagram"}}}},
    {FaultKind::reorder,
     "reorder",
     "a datagram and its follower change places",
     {{{"every", "count", "100", "each n-th datagram"}}}},
}};

constexpr const FaultDoc& doc_of(FaultKind kind) {
    return kFaultDocs[static_cast<std::size_t>(kind)];
}

// What was asked for. Only the parameters of its kind mean something.
struct Fault {
    FaultKind kind = FaultKind::missing;
    std::size_t flow = 0;  // index in the lineup
    TimeWindow window;
    std::size_t other = 0;              // wrong_service: index of the flow
    std::int64_t every = 0;             // loss, duplicate, reorder: datagrams; 0: loss by rate
    std::int64_t lost_per_million = 0;  // loss
    PcrTicks interval{};                // continuity, sync_loss, pcr_gap
    PcrTicks amount{};                  // pcr_jitter
    std::int64_t count = 0;             // sync_loss: packets
    std::int64_t percent = 100;         // low_rate
    Pid pid;                            // continuity, no_component, scrambled; no_pmt
};

}  // namespace mastline
