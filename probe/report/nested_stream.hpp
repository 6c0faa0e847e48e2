// SPDX-License-Identifier: Apache-2.0
// A stream observation inside another document, with its schema's name.
#pragma once

#include <nlohmann/json.hpp>

#include "mastline/report/observation_json.hpp"

namespace mastline {

inline nlohmann::ordered_json nested_stream(const StreamObservation& stream) {
    nlohmann::ordered_json out{{"schema", kObservationSchema}};
    out.update(observation_json(stream));
    return out;
}

}  // namespace mastline
