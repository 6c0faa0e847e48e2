// SPDX-License-Identifier: Apache-2.0
// The folder of evidence: one short capture per failed verdict, and an index page.
#pragma once

#include <string>

#include "mastline/report/lineup_report.hpp"
#include "probe/commands/watch_sink.hpp"

namespace mastline {

// Memory for the packets of one flow of `flows`: 1 MiB, less where all together would take more than
// 128 MiB.
std::size_t recorded_bytes(std::size_t flows);

// Writes the captures and index.html into `folder`, which is made if need be, and sets
// report.evidence. `blind`: why membership messages were not seen; empty when they were.
// Throws std::system_error.
void write_evidence(const std::string& folder, const ExpectedLineup& plan, const WatchSink& sink,
                    const std::string& blind, LineupReport& report);

// The folder as a page at `page` ("-" for standard output) has to name it.
std::string folder_from_page(const std::string& folder, const std::string& page);

}  // namespace mastline
