// SPDX-License-Identifier: Apache-2.0
// How flows went over time, drawn for the page of a verification.
#pragma once

#include <string>
#include <string_view>

#include "mastline/report/lineup_report.hpp"

namespace mastline {

// Rate and delay factor of one flow, small enough for a cell of a table; empty when too little is known.
std::string course_charts(const CourseObservation& course, const LineupReport& report);

// What befell the channels when, a lane for each that something befell, worst first; what began in several channels
// at the same time is marked. Empty when nothing carries times.
std::string event_timeline(const LineupReport& report);

inline constexpr std::string_view kTimeChartStyle = R"(
.over { display: grid; grid-template-columns: 8rem auto; gap: .1rem .5rem; align-items: center; font-size: .8rem; white-space: nowrap; }
.over svg { width: 8rem; height: 1.5rem; background: var(--soft); display: block; }
.over path { fill: none; stroke: var(--ink); stroke-width: 1.3; vector-effect: non-scaling-stroke; }
.over .hush { fill: var(--bad); }
.time svg { min-width: 46rem; width: 100%; display: block; }
.time text { font-size: 12px; fill: var(--ink); } .time .tick { fill: var(--quiet); text-anchor: middle; } .time .shared { font-weight: bold; text-anchor: middle; }
.time .grid { stroke: var(--line); stroke-width: 1; } .time .row { fill: var(--soft); }
.time .together { stroke: var(--ink); stroke-width: 1; stroke-dasharray: 3 3; }
.time .lost { fill: var(--bad); } .time .stream { fill: var(--ink); } .time .clock { fill: var(--doubt); }
.time .other { fill: var(--paper); stroke: var(--ink); stroke-width: 1.2; } .time .silent { fill: none; stroke: var(--bad); stroke-width: 1.6; }
.key { display: flex; flex-wrap: wrap; gap: .2rem 1.4rem; margin: .3rem 0; padding: 0; list-style: none; font-size: .85rem; }
.key svg { display: inline; width: 16px; min-width: 0; height: 14px; vertical-align: -2px; }
@media print { .key { font-size: inherit; } .over { grid-template-columns: 9em 12em 9em auto; gap: 0 .5em; font-size: inherit; }
  .over svg { width: 9em; height: 1.3em; } }
)";

}  // namespace mastline
