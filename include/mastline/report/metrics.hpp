// SPDX-License-Identifier: Apache-2.0
// What a running watch knows, for a collector of measurements. Pure.
#pragma once

#include <string>

#include "mastline/watch/lineup_state.hpp"

namespace mastline {

enum class MetricsFormat {
    open_metrics,  // OpenMetrics 1.0, ends with "# EOF"
    plain,         // Prometheus text format 0.0.4, for readers that ask for nothing newer
};

// By the Accept field of the request.
MetricsFormat metrics_format(std::string_view accept);
std::string_view metrics_type(MetricsFormat format);  // Content-Type

std::string metrics_text(const LineupState& state, Duration window, MetricsFormat format);

}  // namespace mastline
