// SPDX-License-Identifier: Apache-2.0
// What a failed verdict can be shown by: a short capture, and where to look in it.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "mastline/flow/flow_recorder.hpp"
#include "mastline/verdict/judge.hpp"

namespace mastline {

// One failed check, and the place of the capture that shows it.
struct Pointer {
    std::string check;                  // "stream.continuity"
    std::string expected, found;        // of the verdict
    std::string evidence;               // of the verdict
    std::string rule;                   // what the standard's clause, or the plan, expects
    std::optional<std::size_t> packet;  // number in the capture, from 1; none where no packet shows it
    std::optional<Duration> at;         // arrival of that packet
    std::vector<Pid> pids;              // where it shows in particular PIDs
    bool shown = false;                 // the capture alone, judged by the plan, fails this check too
    bool operator==(const Pointer&) const = default;
};

struct Evidence {
    std::string channel;
    int copy = 1;
    std::string name;
    FlowAddress flow;
    std::string file;               // name in the folder of evidence; empty: there is nothing to show
    std::size_t packets = 0;
    std::vector<LinkType> links;    // what its packets begin with, in order
    std::optional<Duration> first, last;
    std::optional<std::size_t> fault_packet;  // number, from 1, of the first fault
    bool rebuilt = false;           // IP and UDP headers were put together again from what sockets tell
    std::string remark;             // where nothing of the flow arrived: what did
    std::vector<Pointer> look_at;   // failed checks, the most telling first
    bool operator==(const Evidence&) const = default;
};

// The clause that a check rests on, in a sentence; empty for an unknown id.
std::string_view rule_of(std::string_view check);

// Reads the recording again, packet by packet, as one would the file. Pure.
Evidence make_evidence(const Verdict& verdict, const Expectation& expected, const ExpectedLineup& lineup,
                       const Recording& recording);

// "channel-101-239.192.10.1-5004", without its ending: of characters that every file system takes.
std::string evidence_file_name(const Verdict& verdict);

}  // namespace mastline
