// SPDX-License-Identifier: Apache-2.0
// Everything seen in the transport stream of one flow or file: plain values, no judgement against a
// plan. Times are Durations on the stream's time base: arrival stamps (since the Unix epoch) where
// packets had them, else the time since the first packet as the PCR tells it.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "mastline/mpeg/pid.hpp"
#include "mastline/stream/occurrences.hpp"
#include "mastline/stream/pcr_observation.hpp"
#include "mastline/stream/programme_observation.hpp"
#include "mastline/units/bit_rate.hpp"
#include "mastline/units/ticks.hpp"

namespace mastline {

enum class TimeBase : std::uint8_t { none, arrival, pcr };

struct PidObservation {
    Pid pid;
    std::string role;  // "pat", "pmt", "component", "pcr", "null", "unreferenced", ...
    std::uint64_t packets = 0;
    std::uint64_t continuity_errors = 0;
    std::uint64_t packets_lost = 0;  // by the counter, so modulo 16 at each error: a lower bound
    std::uint64_t duplicates = 0;    // legal second copies
    std::uint64_t scrambled_packets = 0;
    std::uint64_t signalled_discontinuities = 0;
    std::uint64_t random_access_points = 0;
    std::uint64_t pcr_count = 0;
    std::optional<Duration> first, last;
    bool operator==(const PidObservation&) const = default;
};

// One table (sub-table: table_id and table_id_extension on a PID).
struct TableObservation {
    Pid pid;
    std::uint8_t table_id = 0;
    std::uint16_t extension = 0;
    std::uint8_t version = 0;
    std::uint64_t version_changes = 0;
    std::uint64_t sections = 0;  // received whole, CRC right
    bool complete = false;       // all of 0 to last_section_number of the version
    std::optional<Duration> max_interval;  // between sections, in stream time
    bool operator==(const TableObservation&) const = default;
};

// Sections whose CRC_32 was wrong. The table_id is as received: it may be the damaged part.
struct CrcErrorObservation {
    Pid pid;
    std::uint8_t table_id = 0;
    std::uint64_t count = 0;
    bool operator==(const CrcErrorObservation&) const = default;
};

// One indicator of ETSI TR 101 290, clause 5.2.
struct IndicatorObservation {
    std::string_view number;  // "1.3.a"
    std::string_view name;    // "PAT_error_2"
    int priority = 1;
    bool judged = true;
    std::string reason;       // why not judged; empty when judged
    Occurrences found;
    bool operator==(const IndicatorObservation&) const = default;
};

struct StreamObservation {
    TimeBase time_base = TimeBase::none;
    std::optional<Duration> first, last;  // of the packets (on the time base)
    std::uint64_t packets = 0;            // in sync, null packets included
    std::uint64_t bytes = 0;              // handed in, whether in sync or not
    std::uint64_t bytes_skipped = 0;      // outside packets: while sync was sought
    bool in_sync = false;                 // at the end
    std::uint64_t sync_losses = 0;
    std::uint64_t sync_byte_errors = 0;
    std::uint64_t transport_errors = 0;   // transport_error_indicator set
    std::uint64_t null_packets = 0;
    std::uint64_t continuity_errors = 0;  // sums over the PIDs
    std::uint64_t packets_lost = 0;
    std::uint64_t duplicates = 0;
    std::uint64_t scrambled_packets = 0;

    std::optional<BitRate> rate;         // transport rate: by the PCR, else by arrival
    std::optional<BitRate> arrival_rate; // bytes of transport packets over the time they took

    bool pat_seen = false;
    std::optional<std::uint16_t> transport_stream_id;
    std::optional<std::uint16_t> original_network_id;
    std::optional<Pid> network_pid;  // of the PAT
    std::string network_name;        // of the NIT actual, UTF-8
    bool cat_seen = false;
    std::string utc;  // last TDT or TOT: "2026-11-25T18:00:00Z"

    std::vector<ProgrammeObservation> programmes;     // by program_number
    std::vector<PidObservation> pids;                 // by PID
    std::vector<PcrObservation> pcrs;                 // by PID
    std::vector<TableObservation> tables;             // by PID, table_id, extension
    std::vector<CrcErrorObservation> crc_errors;      // by PID, table_id
    std::vector<IndicatorObservation> indicators;     // in the order of TR 101 290

    bool operator==(const StreamObservation&) const = default;
};

// The indicator of that number, or nullptr: indicator(observation, "1.4").
inline const IndicatorObservation* indicator(const StreamObservation& o, std::string_view number) {
    for (const auto& i : o.indicators)
        if (i.number == number) return &i;
    return nullptr;
}

}  // namespace mastline
