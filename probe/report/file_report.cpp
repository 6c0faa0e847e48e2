// SPDX-License-Identifier: Apache-2.0
#include "mastline/report/file_report.hpp"

#include <algorithm>

namespace mastline {

bool has_faults(const StreamObservation& stream) {
    return stream.packets == 0 ||
           std::ranges::any_of(stream.indicators, [](const IndicatorObservation& i) {
               return i.priority <= 2 && i.judged && i.found.count > 0;
           });
}

bool has_faults(const FileReport& report) {
    if (report.ts) return has_faults(report.ts->stream);
    return report.capture &&
           std::ranges::any_of(report.capture->flows, [](const FlowObservation& f) {
               return (f.rtp && f.rtp->lost > 0) || (f.repair && f.repair->contradicting > 0) || (f.stream && has_faults(*f.stream));
           });
}

}  // namespace mastline
