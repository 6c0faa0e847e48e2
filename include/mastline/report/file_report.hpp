// SPDX-License-Identifier: Apache-2.0
// What one file holds.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "mastline/flow/flow_observation.hpp"
#include "mastline/igmp/membership.hpp"
#include "mastline/source/capture_file.hpp"
#include "mastline/source/ts_file.hpp"

namespace mastline {

// Capture files have `capture` and flows, transport-stream files `ts` and a stream.
struct FileReport {
    std::string name;
    struct Capture {
        CaptureSummary summary;
        DecodeCounts counts;
        std::vector<FlowObservation> flows;  // that carry a transport stream or its FEC
        std::uint64_t other_flows = 0;       // UDP of another kind
        MembershipObservation membership;
    };
    std::optional<Capture> capture;
    struct TsFile {
        TsFileSummary summary;
        StreamObservation stream;
    };
    std::optional<TsFile> ts;
};

// Priority 1 and 2 errors of TR 101 290, and datagrams lost by RTP.
bool has_faults(const StreamObservation& stream);
bool has_faults(const FileReport& report);

}  // namespace mastline
